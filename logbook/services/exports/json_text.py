"""JSON as text: written so that equal documents are equal byte for byte, and read with suspicion.

One surprising decision: what JSON allows and no book can mean (a name twice in one object, a number without
end, NaN) is refused while reading, so that no later step has to think of it.
"""

import json
import math
import re
from pathlib import Path
from typing import Any

from logbook.domain.errors import UnreadableFileError

MOST_BYTES = 512 * 2**20  # bytes; a book of twenty years with all its tracks has about a tenth
_CONTROL = re.compile("[\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069]")


def json_text(document: Any) -> str:
    """Return a document as JSON text, one field a line; no character in it can steer a terminal."""
    text = json.dumps(document, ensure_ascii=False, indent=1, allow_nan=False) + "\n"
    return _CONTROL.sub(lambda found: f"\\u{ord(found[0]):04x}", text)


def read_json(path: Path) -> Any:
    """Return what a JSON file holds; UnreadableFileError says in one sentence why it cannot be read."""
    try:
        if path.stat().st_size > MOST_BYTES:
            raise UnreadableFileError(f"{path} is larger than {MOST_BYTES >> 20} MB, larger than any export.")
        text = path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise UnreadableFileError(f"{path} cannot be read ({error.strerror}); check its name.") from error
    except UnicodeDecodeError as error:
        raise UnreadableFileError(
            f"{path} is not UTF-8 text (byte {error.start}), so it is not an export."
        ) from error
    return parse_json(text, str(path))


def parse_json(text: str, file: str) -> Any:
    """Return what JSON text holds; `file` names it in the sentence of an error."""
    try:
        return json.loads(
            text, object_pairs_hook=_an_object, parse_constant=_refused, parse_float=_finite, parse_int=_whole
        )
    except json.JSONDecodeError as error:
        raise UnreadableFileError(
            f"{file} is not valid JSON at line {error.lineno}, column {error.colno}: {error.msg.lower()}."
        ) from None
    except RecursionError:
        raise UnreadableFileError(f"{file} nests lists deeper than any export does.") from None
    except ValueError as error:
        raise UnreadableFileError(f"{file}: {error}") from None


def _an_object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise ValueError(f'the name "{ascii(twice)[1:-1][:40]}" appears twice in {_which(found)}.')
    return found


def _which(found: dict[str, Any]) -> str:
    """Say which object is meant: one with an id by that, another by the names it holds."""
    if isinstance(record_id := found.get("id"), str):
        return f'the record with id "{ascii(record_id)[1:-1][:64]}"'
    return f"one object (with {', '.join(ascii(name)[1:-1][:40] for name in list(found)[:4])})"


def _refused(name: str) -> Any:
    raise ValueError(f"{name} is not a number in JSON.")


def _finite(text: str) -> float:
    number = float(text)
    if not math.isfinite(number):
        raise ValueError(f"the number {text[:40]} is too large.")
    return number


def _whole(text: str) -> int:
    if len(text) > 400:
        raise ValueError(f"the number {text[:40]}... is too large.")
    return int(text)
