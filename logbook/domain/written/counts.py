"""How many tries, as they are written."""

import re

from logbook.domain.condition_kinds.kind import ABOUT

_COUNT = re.compile(
    rf"(?:{ABOUT}|ca\s)?\s*([0-9]{{1,5}})(?:\s*(?:x|×|tries|frames|exposures|shots))?", re.IGNORECASE
)


def count_written(text: str) -> int | None:
    """Return a count of tries, `14` or `about 20`; None where the text is none."""
    found = _COUNT.fullmatch(text.strip())
    return int(found[1]) if found else None
