"""Options that name a level of a kind of condition: `--crowd few`, `--water high`, `--wind 4`."""

from collections.abc import Mapping, Sequence
from typing import Annotated, Any, Optional

import typer

from logbook.domain.condition_kinds import KINDS
from logbook.domain.words import ConditionKind
from logbook.faces.option_groups import Group

Levels = Mapping[ConditionKind, str]


def level_options(kinds: Sequence[ConditionKind], *, noted: bool = False) -> Group:
    """Return one option a kind; `noted` asks for records, else a place is described."""
    return Group({kind.value: (_option(kind, noted), None) for kind in kinds}, _said)


def _said(said: Mapping[str, Any]) -> Levels:
    return {ConditionKind(name): str(level) for name, level in said.items() if level is not None}


def _option(kind: ConditionKind, noted: bool) -> Any:
    of = KINDS[kind]
    first, last = (0, len(of.levels) - 1) if of.scale is None else (None, None)
    option = typer.Option(f"--{kind}", help=of.help[noted], min=first, max=last)
    return Annotated[Optional[of.scale or int], option]  # noqa: UP045
