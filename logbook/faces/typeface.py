"""The type that travels with pages: brought beside a report, written into a sheet or a brief.

One surprising decision: the Latin faces stand in the style itself, as data. A font in a file of its own comes
after the first drawing, and the page jumps; from a disk it cannot even be asked for in advance. The other
scripts are files, which a browser loads where a page has such signs. Whatever no face of ours has falls back
to the reader's machine by name.
"""

import re
from base64 import b64encode
from collections.abc import Callable, Collection, Iterator, Mapping
from pathlib import Path

STYLE = "type.css"
_FACE = re.compile(r"@font-face \{.*?\n\}\n", re.DOTALL)
_FILE = re.compile(r'url\("([\w.-]+)"\)')
_RANGES = re.compile(r"unicode-range: ([^;]+);")
_AT_ONCE = "-latin.woff2"  # how the files end that every page needs


def type_beside(templates: Path, signs: Collection[str] | None = None) -> Mapping[str, bytes]:
    """Return what a report brings of the type, licence and style among it, by path inside the report.

    `signs` are those of its pages: a script that none of them has is left out. None brings everything.
    """
    folder = templates / "type"
    unused = set() if signs is None else _unused(folder, {ord(sign) for text in signs for sign in text})
    files = {
        f"type/{path.name}": path.read_bytes()
        for path in folder.iterdir()
        if _stays_a_file(path.name) and path.name not in unused
    }
    return files | {
        f"type/{STYLE}": _held(folder, _style(folder), lambda name: not _stays_a_file(name)).encode()
    }


def type_within(templates: Path, text: str) -> str:
    """Return a style that holds, as data, all the faces which a text needs."""
    folder = templates / "type"
    signs = {ord(sign) for sign in set(text)}
    faces = (one for one in _FACE.findall(_style(folder)) if _has_any(one, signs))
    return _held(folder, "".join(faces), lambda _name: True)


def _unused(folder: Path, signs: set[int]) -> set[str]:
    """Return the files of faces that have none of some signs."""
    faces = (one for one in _FACE.findall(_style(folder)) if not _has_any(one, signs))
    return {name for one in faces for name in _FILE.findall(one)}


def _has_any(face: str, signs: set[int]) -> bool:
    return any(signs & set(span) for span in _spans(face))


def _stays_a_file(name: str) -> bool:
    return not name.endswith(_AT_ONCE) and name != STYLE


def _style(folder: Path) -> str:
    return (folder / STYLE).read_text(encoding="utf-8")


def _held(folder: Path, style: str, is_held: Callable[[str], bool]) -> str:
    """Return a style with some of its fonts as data instead of their files' names."""

    def data(found: re.Match[str]) -> str:
        if not is_held(found[1]):
            return found[0]
        return f'url("data:font/woff2;base64,{b64encode((folder / found[1]).read_bytes()).decode()}")'

    return _FILE.sub(data, style)


def _spans(face: str) -> Iterator[range]:
    """Yield the code points that a face says it has."""
    ranges = _RANGES.search(face)
    for one in ranges[1].split(",") if ranges else ():
        first, _, last = one.strip().removeprefix("U+").partition("-")
        yield range(int(first, 16), int(last or first, 16) + 1)
