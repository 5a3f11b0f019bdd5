"""The one error of the craft room, and how it is raised and worded.

One surprising decision: craft stands below `domain` and cannot know its error tree, so it raises a
`ValueError` of its own; the caller turns it into wrong use.
"""


class CraftValueError(ValueError):
    """A value cannot be what it claims to be; the message is one sentence that says what to write."""


def checked(what: str, value: float, low: float, high: float, unit: str) -> float:
    """Return the value; raise CraftValueError unless it lies in low..high."""
    if not low <= value <= high:
        raise CraftValueError(
            f"{what} {value:g} {unit} is not possible; write a number from {low:g} to {high:g} {unit}."
        )
    return value


def shown(text: str) -> str:
    """Return what a person typed in quotes, cut so that a message stays one readable line."""
    quoted = repr(text)
    return quoted if len(quoted) <= 60 else f"{quoted[:60]}…'"
