"""The search files: small scripts in pure ASCII that hold what they are given and nothing that runs."""

import json
import re
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from logbook.faces.report.whole.searching import PORTION, write_search

CALL = re.compile(r'arrived\("([\w-]+)",(.*)\);\n', re.DOTALL)


def read(folder: Path) -> dict[str, object]:
    found = {}
    for path in (folder / "search").iterdir():
        told = CALL.fullmatch(path.read_text(encoding="ascii"))
        assert told, path.name
        assert told[1] == path.stem
        found[told[1]] = json.loads(told[2])
    return found


@given(st.lists(st.tuples(st.text(), st.text(), st.text(), st.text()), max_size=5))
def test_any_text_is_kept_and_none_of_it_is_script(
    tmp_path_factory: object, documents: list[tuple[str, str, str, str]]
) -> None:
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        write_search(Path(folder), documents, {})
        held = read(Path(folder)).get("documents-0", [])
    assert held == [list(one) for one in documents]


def test_words_lie_under_their_first_letter_with_numbers_and_weights(tmp_path: Path) -> None:
    write_search(tmp_path, [], {"dune": {4: 2, 1: 6}, "dusk": {2: 1}, "été": {0: 1}})
    assert read(tmp_path) == {
        "words-64": {"dune": [1, 6, 4, 2], "dusk": [2, 1]},
        "words-e9": {"été": [0, 1]},
    }


def test_documents_come_in_portions(tmp_path: Path) -> None:
    documents = [(str(number), "", "", "") for number in range(PORTION + 1)]
    write_search(tmp_path, documents, {})
    assert {name: len(held) for name, held in read(tmp_path).items()} == {  # type: ignore[arg-type]
        "documents-0": PORTION,
        "documents-1": 1,
    }


def test_the_page_reads_portions_of_the_same_size() -> None:
    script = (Path(__file__).parents[4] / "templates" / "report" / "search.js").read_text(encoding="utf-8")
    assert f"const PORTION = {PORTION};" in script
