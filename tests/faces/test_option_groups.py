"""A group of options is spelt out for the option library, and comes back as one value."""

import inspect
from dataclasses import dataclass
from typing import Annotated

import typer
from typer.testing import CliRunner

from logbook.faces.option_groups import spread


@dataclass(frozen=True, slots=True)
class Weather:
    wind: Annotated[int | None, typer.Option("--wind")] = None
    sky: Annotated[str, typer.Option("--sky")] = "clear"


def note(name: str, *, weather: Weather, book: Annotated[str, typer.Option("--book")] = "mine") -> None:
    """Note the weather."""
    typer.echo(f"{name} {weather} {book}")


def test_the_fields_of_a_group_stand_in_its_place() -> None:
    assert list(inspect.signature(spread(note)).parameters) == ["name", "wind", "sky", "book"]


def test_a_function_without_groups_stays_itself() -> None:
    def plain(name: str) -> None: ...

    assert spread(plain) is plain


def test_what_was_typed_comes_back_as_one_value_and_the_rest_by_default() -> None:
    app = typer.Typer()
    app.command()(spread(note))
    done = CliRunner().invoke(app, ["ledge", "--wind", "4"])
    assert done.stdout == f"ledge {Weather(4, 'clear')} mine\n"
    assert "Note the weather." in CliRunner().invoke(app, ["--help"]).stdout
