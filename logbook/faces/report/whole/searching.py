"""The files a page searches in: words by their first letter, documents in portions, each a small script.

One surprising decision: scripts and not data files, because a page that is opened from disk may load scripts
beside it and nothing else; and small ones, so that a question about one word reads one letter.
"""

import json
from collections import defaultdict
from collections.abc import Mapping, Sequence
from pathlib import Path

PORTION = 400  # documents in one file
FOLDER = "search"


def write_search(
    folder: Path, documents: Sequence[tuple[str, str, str, str]], words: Mapping[str, Mapping[int, int]]
) -> None:
    """Write the search files into a folder.

    `documents` are title, whereabouts, link and picture; `words` go from a stem to document numbers and
    weights.
    """
    place = folder / FOLDER
    place.mkdir()
    for begin in range(0, len(documents), PORTION):
        name = f"documents-{begin // PORTION}"
        _write(place / f"{name}.js", name, list(documents[begin : begin + PORTION]))
    letters: dict[str, dict[str, list[int]]] = defaultdict(dict)
    for stem in sorted(words):
        numbers = sorted(words[stem].items())
        letters[f"words-{ord(stem[0]):x}"][stem] = [part for pair in numbers for part in pair]
    for name, found in letters.items():
        _write(place / f"{name}.js", name, found)


def _write(path: Path, name: str, content: object) -> None:
    # Pure ASCII: no text of a person can end a line, a string or the script in any browser.
    told = json.dumps(content, ensure_ascii=True, separators=(",", ":"))
    path.write_text(f'arrived("{name}",{told});\n', encoding="ascii", newline="\n")
