"""`logbook plan`: plans written out and taken in, as a person types it."""

from pathlib import Path

from tests.faces.conftest import Run

SHEET = (
    "Titel der Liste;;\r\nTitle;Date;F-number;Driver\r\nMill;14.10.2031;2,8;Anna\r\nTower;10/11/2031;8;\r\n"
)


def test_without_a_file_the_draft_itself_is_the_answer(stocked: Run) -> None:
    answer = stocked("plan", "draft", "high-valley")
    assert (answer.status, answer.err) == (0, "")
    assert answer.out.startswith("---\ntrip: high-valley\n---\n")
    assert "[bridge-flow]" in answer.out


def test_the_form_follows_the_name_of_the_file_unless_it_is_said(stocked: Run, tmp_path: Path) -> None:
    answer = stocked("plan", "draft", "--into", "plan.csv")
    assert answer.status == 0
    assert answer.out.endswith("then: logbook plan read plan.csv --trip high-valley\n")
    assert (
        (tmp_path / "plan.csv").read_bytes().startswith(b"\xef\xbb\xbftitle,viewpoint,date,from,to,focal mm,")
    )
    said = stocked("plan", "draft", "--as", "markdown", "--into", "other.csv")
    assert said.status == 0
    assert (tmp_path / "other.csv").read_text(encoding="utf-8").startswith("---\n")


def test_a_draft_reads_back_and_changes_nothing(stocked: Run) -> None:
    for name in ("plan.md", "plan.csv"):
        assert stocked("plan", "draft", "--into", name).status == 0
        read = stocked("plan", "read", name, "--json").data
        assert (read["added"], read["changed"], read["removed"]) == (0, 0, 0)
        assert (read["to_sort_out"], read["remarks"], read["elsewhere"]) == ([], [], [])


def test_what_a_sheet_says_is_counted_remarked_on_and_left_to_sort_out(stocked: Run, tmp_path: Path) -> None:
    (tmp_path / "plan.csv").write_bytes(SHEET.encode("cp1252"))
    answer = stocked("plan", "read", "plan.csv")
    assert (answer.status, answer.out) == (
        0,
        "high-valley, plan: 1 added.\n",
    )
    assert 'plan.csv: A plan has no column "Driver"' in answer.err
    assert "To sort out (1), kept word for word:\nplan.csv:4: Tower;10/11/2031;8;\n" in answer.err
    assert '"10/11/2031" could be 2031-11-10 or 2031-10-11' in answer.err
    shot = stocked("shot", "show", "mill", "--json").data
    assert (shot["planned"]["f_number"], shot["planned"]["on_date"]) == (2.8, "2031-10-14")


def test_what_left_a_file_is_named(stocked: Run, tmp_path: Path) -> None:
    for text in ("- Crane, f/8\n- Buoy, f/8\n", "- Crane, f/8\n"):
        (tmp_path / "plan.md").write_text(text, encoding="utf-8")
        answer = stocked("plan", "read", "plan.md")
    assert answer.out.endswith("plan: 1 unchanged, 1 removed.\n")
    assert answer.err == 'No longer in plan.md, so removed: "Buoy, f/8".\n'


def test_what_is_to_sort_out_is_found_again(stocked: Run, tmp_path: Path) -> None:
    (tmp_path / "plan.md").write_text("- Lighthouse, f/8, f/11\n", encoding="utf-8")
    assert stocked("plan", "read", "plan.md").status == 0
    assert "plan.md line 1" in stocked("check").out
    assert stocked("find", "lighthouse", "--json").data["results"]


def test_what_is_no_plan_is_refused_in_one_sentence(stocked: Run, tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_text("1;2\n3;4\n", encoding="utf-8")
    (tmp_path / "b.md").write_bytes(b"a\x00b")
    for name, why in (
        ("a.csv", "has no headings"),
        ("b.md", "not a text file"),
        ("c.md", "There is no file c.md; check its name"),
    ):
        answer = stocked("plan", "read", name)
        assert (answer.status, answer.out, answer.err.count("\n")) == (1, "", answer.err.count("\n"))
        assert why in " ".join(answer.err.split())


def test_a_draft_never_takes_the_place_of_a_file(stocked: Run, tmp_path: Path) -> None:
    (tmp_path / "plan.md").write_text("- mine\n", encoding="utf-8")
    answer = stocked("plan", "draft", "--into", "plan.md")
    assert answer.status == 1
    assert (tmp_path / "plan.md").read_text(encoding="utf-8") == "- mine\n"
