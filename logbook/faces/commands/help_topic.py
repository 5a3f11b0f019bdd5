"""`logbook help`: what one looks up, a page for each topic.

One surprising decision: a command's name is answered with that command's own help, for it is what was meant.
"""

import sys
from typing import Annotated

import typer

from logbook.faces import options
from logbook.faces.contents import CONTENTS
from logbook.faces.terminal import answer, answer_file, answer_json, answer_table

app = typer.Typer()


@options.command(app, "help", "logbook help day-files")
def help_(
    context: typer.Context,
    topic: Annotated[
        str | None, typer.Argument(metavar="[TOPIC]", help="A topic, such as commands, day-files or names.")
    ] = None,
    as_json: options.Json = False,
) -> None:
    """Show a page about a topic, or list the topics; for a command, show its own help."""
    from logbook.faces import topics

    if topic is None:
        listed = topics.topics()
        if as_json:
            answer_json([{"topic": one.name, "title": one.title} for one in listed])
        else:
            answer_table(("topic", "about"), [[one.name, one.title] for one in listed], "")
        return
    if topic in CONTENTS and not as_json and topic not in {one.name for one in topics.topics()}:
        group = context.find_root().command
        command = group.get_command(context, topic)  # type: ignore[attr-defined]
        answer(command.get_help(typer.Context(command, info_name=topic, parent=context.find_root())))
        return
    found = topics.topic(topic)
    if as_json:
        answer_json({"topic": found.name, "title": found.title, "text": found.text})
    elif not sys.stdout.isatty():
        answer_file(found.text)
    else:
        from rich.console import Console
        from rich.markdown import Markdown

        Console(highlight=False).print(Markdown(found.text))
