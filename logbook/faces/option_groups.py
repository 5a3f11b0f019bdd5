"""Options that belong together, written once and taken by several commands.

One surprising decision: the option library reads signatures, so a parameter that stands for a group is
replaced by one option for each of its members before the library sees the function.
"""

import inspect
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, is_dataclass
from functools import wraps
from inspect import Parameter, Signature
from typing import Any, TypeVar, get_type_hints

Function = TypeVar("Function", bound=Callable[..., Any])


@dataclass(frozen=True, slots=True)
class Group:
    """Options by name, each with its annotation and default, and what is made of the answers by name.

    A parameter is such a group where its annotation carries one (`Annotated[Levels, level_options()]`), or
    where its type is a dataclass whose fields are annotated as options and have defaults.
    """

    options: Mapping[str, tuple[Any, Any]]
    gathered: Callable[[Mapping[str, Any]], Any]


def spread(function: Function) -> Function:
    """Return a command that takes the members of its groups one by one, in the places of the groups."""
    hints = get_type_hints(function, include_extras=True)
    groups = {name: group for name, hint in hints.items() if (group := _group(hint)) is not None}
    if not groups:
        return function
    taken: list[Parameter] = []
    for name, parameter in inspect.signature(function).parameters.items():
        own = groups[name].options if name in groups else {name: (hints[name], parameter.default)}
        taken += [
            Parameter(one, Parameter.KEYWORD_ONLY, default=to, annotation=of) for one, (of, to) in own.items()
        ]

    @wraps(function)
    def command(**said: Any) -> Any:
        grouped = {
            name: group.gathered({one: said.pop(one) for one in group.options})
            for name, group in groups.items()
        }
        return function(**said, **grouped)

    command.__signature__ = Signature(taken)  # type: ignore[attr-defined]
    command.__annotations__ = {one.name: one.annotation for one in taken}
    del command.__wrapped__
    return command  # type: ignore[return-value]


def _group(hint: Any) -> Group | None:
    if is_dataclass(hint) and isinstance(hint, type):
        kinds, kept = get_type_hints(hint, include_extras=True), hint
        options = {field.name: (kinds[field.name], field.default) for field in fields(hint)}
        return Group(options, lambda said: kept(**said))
    return next((one for one in getattr(hint, "__metadata__", ()) if isinstance(one, Group)), None)
