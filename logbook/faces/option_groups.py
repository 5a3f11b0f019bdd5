"""Options that belong together, written once as the fields of a class and taken by several commands.

One surprising decision: the option library reads signatures, so a parameter whose type is such a class is
replaced by one option for each of its fields before the library sees the function.
"""

import inspect
from collections.abc import Callable
from dataclasses import fields, is_dataclass
from functools import wraps
from inspect import Parameter, Signature
from typing import Any, TypeVar, get_type_hints

Function = TypeVar("Function", bound=Callable[..., Any])


def spread(function: Function) -> Function:
    """Return a command that takes the fields of its groups one by one, in the places of the groups.

    A group is a dataclass whose fields are annotated as options and have defaults.
    """
    hints = get_type_hints(function, include_extras=True)
    groups: dict[str, Any] = {name: kind for name, kind in hints.items() if is_dataclass(kind)}
    if not groups:
        return function
    taken: list[Parameter] = []
    for name, parameter in inspect.signature(function).parameters.items():
        if name in groups:
            kinds = get_type_hints(groups[name], include_extras=True)
            own = [(field.name, kinds[field.name], field.default) for field in fields(groups[name])]
        else:
            own = [(name, hints[name], parameter.default)]
        taken += [Parameter(one, Parameter.KEYWORD_ONLY, default=to, annotation=of) for one, of, to in own]

    @wraps(function)
    def command(**said: Any) -> Any:
        grouped = {
            name: group(**{field.name: said.pop(field.name) for field in fields(group)})
            for name, group in groups.items()
        }
        return function(**said, **grouped)

    command.__signature__ = Signature(taken)  # type: ignore[attr-defined]
    command.__annotations__ = {one.name: one.annotation for one in taken}
    del command.__wrapped__
    return command  # type: ignore[return-value]
