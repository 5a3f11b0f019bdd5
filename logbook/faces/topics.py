"""Pages to look things up: Markdown that travels with the program, for the terminal and the private pages.

One surprising decision: a topic is a file and nothing lists them; its first line is its title.
"""

from dataclasses import dataclass

from logbook.domain.errors import NotFoundError
from logbook.faces.resources import resource
from logbook.faces.slips import nearest


@dataclass(frozen=True, slots=True)
class Topic:
    """A page: its name, its title, and its Markdown whole."""

    name: str
    title: str
    text: str


def topics() -> tuple[Topic, ...]:
    """Return all topics by name."""
    found = sorted((resource("templates") / "help").glob("*.md"))
    texts = [(path.stem, path.read_text(encoding="utf-8")) for path in found]
    return tuple(Topic(name, text.partition("\n")[0].removeprefix("# "), text) for name, text in texts)


def topic(name: str) -> Topic:
    """Return a topic by its name or how that begins; raises NotFoundError, which names the nearest."""
    wanted = name.strip().lower().replace(" ", "-")
    known = topics()
    found = [one for one in known if one.name == wanted] or [
        one for one in known if one.name.startswith(wanted)
    ]
    if wanted and found:
        return found[0]
    names = [one.name for one in known]
    near = nearest(wanted, names)
    meant = f"did you mean {near}? The topics are" if near else "the topics are"
    raise NotFoundError(f'There is no topic "{name}"; {meant} {", ".join(names)}.')
