"""What the pages say, and that they can be read by everybody."""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from html.parser import HTMLParser
from pathlib import Path

import pytest

from logbook.domain.account import TripAccount
from logbook.domain.horizon import Horizon
from logbook.domain.trip import Trip
from logbook.domain.words import Audience, Disclosure, OutcomeWord, Provenance
from logbook.faces.report import BuiltReport

Build = Callable[..., BuiltReport]
Texts = Callable[[BuiltReport], str]
STYLE = Path(__file__).parents[3] / "templates" / "report" / "style.css"
DAY = date(2031, 10, 14)
VOID = {"meta", "link", "img", "br", "hr"}


class Outline(HTMLParser):
    """Collects what a screen reader goes by."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.headings: list[int] = []
        self.ids: list[str] = []
        self.links: list[str] = []
        self.sources: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.tags.append((tag, given))
        if tag not in VOID:
            self.open.append(tag)
        if re.fullmatch("h[1-6]", tag):
            self.headings.append(int(tag[1]))
        self.ids += filter(None, [given.get("id")])
        if tag == "a" and given.get("href"):
            self.links.append(given["href"] or "")
        for name in ("src", "srcset"):
            if given.get(name):
                self.sources += [part.split()[0] for part in (given[name] or "").split(",")]
        assert not any(name.startswith("on") or name == "style" for name in given), given

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def words(html: str) -> str:
    """The visible words of a page, in order."""
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


@pytest.fixture(params=list(Audience))
def report(request: pytest.FixtureRequest, account: TripAccount, build: Build) -> BuiltReport:
    return build(account, request.param)


def test_every_page_has_one_title_ordered_headings_landmarks_and_a_language(report: BuiltReport) -> None:
    for page in report.pages:
        outline = Outline(page.read_text(encoding="utf-8"))
        assert outline.open == []
        assert outline.headings.count(1) == 1
        assert outline.headings[0] == 1
        steps = zip(outline.headings, outline.headings[1:], strict=False)
        assert all(deeper <= before + 1 for before, deeper in steps), (page, outline.headings)
        assert len(outline.ids) == len(set(outline.ids))
        tags = [tag for tag, _ in outline.tags]
        assert tags.count("main") == 1
        assert "nav" in tags
        assert outline.links[0] == "#content"
        assert ("html", {"lang": "en"}) in outline.tags


def test_every_link_and_source_leads_to_a_file_of_the_report(report: BuiltReport) -> None:
    folder = report.index.parent
    outlines = {page.resolve(): Outline(page.read_text(encoding="utf-8")) for page in report.pages}
    for page, outline in outlines.items():
        for target in (*outline.links, *outline.sources):
            name, _, anchor = target.partition("#")
            file = (page.parent / name).resolve() if name else page
            assert file.is_relative_to(folder.resolve())
            assert file.is_file(), target
            if anchor:
                assert anchor in outlines[file].ids, target


def test_pictures_have_words_tables_have_captions_and_heads_have_scopes(report: BuiltReport) -> None:
    html = report.index.read_text(encoding="utf-8")
    outline = Outline(html)
    assert all(given.get("alt") for tag, given in outline.tags if tag == "img")
    assert all(given.get("scope") for tag, given in outline.tags if tag == "th")
    assert html.count("<table>") == html.count("<caption") > 0
    assert html.count('class="scroll" role="region"') == html.count("<table>")


def test_a_style_sheet_asks_no_other_host_and_has_readable_contrast() -> None:
    style = STYLE.read_text(encoding="utf-8")
    assert "url(" not in style
    assert "@import" not in style

    def luminance(colour: str) -> float:
        """Relative luminance, WCAG 2.2 definition."""
        parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
        linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    schemes = re.findall(r":root \{(.*?)\}", style, re.DOTALL)[:2]
    assert len(schemes) == 2
    for scheme in schemes:
        colours = dict(re.findall(r"--(\w+): (#[0-9a-f]{6});", scheme))
        for ground in ("ground", "paper", "fold"):
            for text in ("text", "quiet", "ink"):
                light, dark = sorted((luminance(colours[ground]), luminance(colours[text])), reverse=True)
                assert (light + 0.05) / (dark + 0.05) >= 4.5, (ground, text)  # WCAG 2.2, 1.4.3, level AA


def test_a_missing_original_is_words_and_no_crash(account: TripAccount, build: Build) -> None:
    for audience in Audience:
        report = build(account, audience, audience)
        assert report.pictures == 3
        assert [missing.slug for missing in report.missing] == ["gone"]
        pages = "".join((report.index.parent / one).read_text(encoding="utf-8") for one in report.pages)
        assert ("Picture not found" in pages) is (audience is not Audience.CLIENT), "a client sees no gap"
        assert ("gone.jpg" in pages) is (audience is Audience.ARCHIVE)


def test_a_trip_with_nothing_but_a_title_builds(account: TripAccount, build: Build) -> None:
    trip = Trip(id="t", created=account.trip.created, updated=account.trip.updated, slug="t", title="Bare")
    for audience in Audience:
        report = build(TripAccount(trip=trip, sites={}, viewpoints={}), audience, audience)
        html = report.index.read_text(encoding="utf-8")
        assert "Bare" in html
        assert not set(re.findall(r'href="#([\w-]+)"', html)) - set(Outline(html).ids)


@pytest.mark.slow
def test_a_substitute_is_named_and_never_counted_as_made(account: TripAccount, build: Build) -> None:
    shown = words(build(account).index.read_text(encoding="utf-8"))
    assert (
        "Three shots were planned: one made as planned, one replaced by something else and one not tried."
        in shown
    )
    rule = "A replacement never counts as making the planned shot."
    assert rule not in shown
    assert rule in words(build(account, Audience.STUDENTS, "students").index.read_text("utf-8"))
    assert "Stones Replaced: Under water." in shown


@pytest.mark.slow
def test_a_persons_caption_is_published_as_it_is_however_many_frames_share_it(
    account: TripAccount, build: Build, changed: Callable[..., TripAccount]
) -> None:
    same = changed(account, "keepers", "one", caption="Walls and sky", exposure_s=Fraction(1, 1848))
    bracket = changed(same, "keepers", "four", caption="Walls and sky", exposure_s=Fraction(1, 30))
    for audience in Audience:
        report = build(bracket, audience, name=str(audience))
        for page in report.index.parent.rglob("*.html"):
            assert "Walls and sky:" not in page.read_text("utf-8")
        assert "Walls and sky" in report.index.read_text("utf-8")


@pytest.mark.slow
def test_a_files_values_are_published_as_they_are(
    account: TripAccount, build: Build, changed: Callable[..., TripAccount]
) -> None:
    odd = {"f_number": 3.6, "exposure_s": Fraction(1, 120), "iso": 111, "focal_mm": 23.47}
    for audience in Audience:
        shown = words(
            build(changed(account, "keepers", "one", **odd), audience, audience).index.read_text("utf-8")
        )
        assert "1/120 s f/3.6 ISO 111 23.47 mm" in shown


@pytest.mark.slow
def test_a_picture_from_before_the_trip_gives_no_other_day_another_number(
    account: TripAccount, build: Build, changed: Callable[..., TripAccount]
) -> None:
    dated = replace(
        account, trip=replace(account.trip, starts_on=date(2031, 10, 13), ends_on=date(2031, 10, 16))
    )
    early = changed(dated, "keepers", "one", taken_local=datetime(2019, 1, 1, 12), viewpoint_id=None)  # noqa: DTZ001
    for audience in (Audience.STUDENTS, Audience.ARCHIVE):  # a client's pictures stand by no day
        shown = words(build(early, audience, audience).index.read_text("utf-8"))
        assert "Before the trip Tuesday 1 January 2019" in shown
        assert "Day 2 Tuesday 14 October 2031" in shown
        assert "Day 1 " not in shown


@pytest.mark.slow
def test_reasons_are_sentences_where_a_person_wrote_none(
    account: TripAccount, build: Build, changed: Callable[..., TripAccount]
) -> None:
    silent = changed(account, "outcomes", "stones", note=None)
    shown = words(build(silent, Audience.STUDENTS).index.read_text(encoding="utf-8"))
    assert "Replaced The water was against it and the crowd was in the way." in shown
    told = build(account, Audience.STUDENTS, name="told").index.read_text("utf-8")
    assert "The water was against it" not in words(told)


def test_a_lesson_is_a_sentence_however_it_was_written(
    account: TripAccount, build: Build, changed: Callable[..., TripAccount]
) -> None:
    jotted = changed(account, "lessons", "l3", text="ask the road office")
    assert "<p>Ask the road office.</p>" in build(jotted).index.read_text("utf-8")


@pytest.mark.slow
def test_a_closure_says_when_who_and_that_it_must_be_checked(account: TripAccount, build: Build) -> None:
    for audience in Audience:
        shown = words(build(account, audience, audience).index.read_text(encoding="utf-8"))
        assert "Observed on 14 October 2031, source: the warden; check again before going." in shown


def test_settings_are_marked_values_with_words_for_where_they_come_from(
    account: TripAccount, build: Build, changed: Callable[..., TripAccount]
) -> None:
    origins = {**account.keepers[0].provenance, "filters": Provenance.ASSUMED, "support": Provenance.INFERRED}
    html = build(changed(account, "keepers", "one", provenance=origins), Audience.STUDENTS).index.read_text(
        "utf-8"
    )
    row = words(html[html.index('<a href="#picture-2">') :].split("</tr>")[0])
    assert row == "Picture 2 1/125 s f/8 ISO 200 24 mm two ND8 assumed braced inferred"
    assert '<span class="assumed"><bdi>two ND8</bdi> <span class="origin">assumed</span></span>' in html
    assert "“assumed” was carried forward and not confirmed" in html


@pytest.mark.slow
def test_the_legend_explains_only_the_words_that_the_table_holds(
    account: TripAccount, build: Build, changed: Callable[..., TripAccount]
) -> None:
    html = build(account, Audience.STUDENTS).index.read_text("utf-8")
    told = words(html[html.index('<p class="legend">Camera') :].split("</p>")[0])
    assert told == (
        "Camera settings were read from the picture's own file; filters and support were stated by the "
        "photographer. “None” means there was none; “unknown” means nobody noted it."
    ).replace("'", "&#39;")
    known = changed(changed(account, "keepers", "gone", filters=("pol",)), "keepers", "four", filters=("uv",))
    client = build(known, name="client").index.read_text("utf-8")
    legend = words(client[client.index('<p class="legend">Camera') :].split("</p>")[0])
    assert legend.endswith("own file; filters were stated by the photographer.")


def test_unknown_and_none_are_different_words(account: TripAccount, build: Build) -> None:
    page = build(account, Audience.STUDENTS).index.read_text("utf-8")
    html = page[page.index('id="settings-caption"') :]
    gone = words(html[html.index('<a href="#picture-1">') :].split("</tr>")[0])
    four = words(html[html.index('<a href="#picture-4">') :].split("</tr>")[0])
    assert gone.endswith("24 mm unknown unknown")
    assert four.endswith("24 mm none braced")


@pytest.mark.slow
def test_lessons_reach_only_those_they_are_shown_to(account: TripAccount, build: Build) -> None:
    told = {audience: build(account, audience, audience).index.read_text("utf-8") for audience in Audience}
    assert "For a client" in told[Audience.CLIENT]
    assert "For a class" not in told[Audience.CLIENT]
    assert "For a class" in told[Audience.STUDENTS]
    assert "For a client" not in told[Audience.STUDENTS]
    assert all(text in told[Audience.ARCHIVE] for text in ("For a client", "For a class", "Both"))


@pytest.mark.slow
def test_every_page_of_the_archive_says_whom_it_is_for(account: TripAccount, build: Build) -> None:
    for audience in Audience:
        for page in build(account, audience, audience).pages:
            says = "For the photographer alone. Do not send" in page.read_text("utf-8")
            assert says is (audience is Audience.ARCHIVE)
    assert 'content: "For the photographer alone' in STYLE.read_text("utf-8")  # on every printed sheet


def test_students_are_given_the_cautions(account: TripAccount, build: Build) -> None:
    shown = words(build(account, Audience.STUDENTS).index.read_text("utf-8"))
    for caution in (
        "optical finder",
        "site's permission",
        "A closed path is closed",
        "wardens and licensed guides",
    ):
        assert caution in shown.replace("&#39;", "'")
    assert "First noted by the photographer on 20 October 2031; check again before going." in shown


@pytest.mark.parametrize("audience", [Audience.STUDENTS, Audience.ARCHIVE])
def test_mending_a_title_years_later_makes_no_old_danger_look_fresh(
    account: TripAccount, build: Build, changed: Callable[..., TripAccount], audience: Audience
) -> None:
    mended = changed(
        account, "sites", "quarry", title="Quarry arch", updated=datetime(2041, 5, 1, tzinfo=UTC)
    )
    later = changed(mended, "viewpoints", "ledge", created=datetime(2033, 5, 1, tzinfo=UTC))
    shown = words(build(later, audience).index.read_text("utf-8"))
    place = shown[shown.index("Wet slabs") :][:200]
    assert "First noted by the photographer on 20 October 2031; check again before going." in place
    assert "2041" not in shown


@pytest.mark.slow
def test_a_view_is_told_as_it_was_written(
    account: TripAccount, build: Build, changed: Callable[..., TripAccount]
) -> None:
    for written, told in (
        ("Up the stair", "View: up the stair."),
        ("Hollow peak, far off", "View: Hollow peak, far off."),
    ):
        told_of = changed(account, "viewpoints", "ledge", looks_at=written)
        assert told in words(build(told_of, Audience.STUDENTS, told[6:8]).index.read_text("utf-8"))


@pytest.mark.slow
def test_a_viewpoints_horizon_is_told_to_students_where_its_place_is_shown_exactly(
    account: TripAccount, build: Build, changed: Callable[..., TripAccount]
) -> None:
    told = changed(account, "viewpoints", "ledge", horizon=Horizon(7.0))
    area = changed(told, "viewpoints", "ledge", location_shown=Disclosure.AREA)
    assert "horizon: 7° skyline" in words(build(told, Audience.STUDENTS, "near").index.read_text("utf-8"))
    assert "7° skyline" not in words(build(area, Audience.STUDENTS, "far").index.read_text("utf-8"))
    archive = build(area, Audience.ARCHIVE, "own").index.parent.rglob("*.html")
    assert any("horizon: 7° skyline" in words(page.read_text("utf-8")) for page in archive)


def test_progress_is_told_in_order(account: TripAccount, tmp_path: Path) -> None:
    from logbook.faces.report import build_report

    told: list[tuple[str, int, int]] = []
    templates = STYLE.parents[1]
    build_report(
        account,
        Audience.CLIENT,
        tmp_path / "r",
        templates=templates,
        progress=lambda *step: told.append(step),
    )
    assert told == [("pictures", n, 4) for n in range(1, 5)] + [
        ("pages", n, 4) for n in range(1, 5)
    ]  # a client sees no gap


def test_an_unknown_outcome_is_open_while_the_trip_lasts(account: TripAccount, build: Build) -> None:
    outcomes = {"silk": replace(account.outcomes["silk"], word=OutcomeWord.OPEN)}
    under_way = replace(account.trip, ends_on=DAY + timedelta(days=1))
    report = build(replace(account, outcomes=outcomes, trip=under_way), Audience.STUDENTS)
    shown = words(report.index.read_text("utf-8"))
    assert "Three shots were planned: three still open." in shown
    assert "Nothing is decided about this shot yet." in shown
    assert "Not tried" not in shown


def test_what_a_trip_that_is_over_left_open_was_not_tried(account: TripAccount, build: Build) -> None:
    shown = words(build(account, Audience.STUDENTS).index.read_text("utf-8"))
    assert "What happened Not tried on this trip" in shown
    assert "Nothing is decided" not in shown


def test_a_shot_with_pictures_and_no_word_stays_open_after_the_trip(
    account: TripAccount, build: Build
) -> None:
    shown = words(build(replace(account, outcomes={})).index.read_text("utf-8"))
    assert "Three shots were planned: one still open and two not tried." in shown


def test_a_client_sees_what_came_otherwise_why_and_the_pictures_in_its_place(
    account: TripAccount, build: Build
) -> None:
    html = build(account).index.read_text("utf-8")
    brief = words(html[html.index('id="brief"') :].split("</section>")[0])
    assert "Stones Replaced: Under water." in brief
    assert "Flow under the bridge Made" not in brief
    silent = {**account.outcomes, "stones": replace(account.outcomes["stones"], note=None)}
    html = build(replace(account, outcomes=silent), name="silent").index.read_text("utf-8")
    line = html[html.index('<ol class="outcomes">') :].split("</ol>")[0]
    assert "Stones Replaced: the water was against it and the crowd was in the way" in words(line)
    anchor = re.search(r'<a href="#(picture-\d)"><span class="folio">2', line)
    assert anchor, line
    assert f'id="{anchor[1]}"' in html


def test_in_a_shots_place_stands_one_picture_without_its_caption_again(
    account: TripAccount, build: Build, changed: Callable[..., TripAccount]
) -> None:
    both = changed(account, "keepers", "four", shot_id="silk")
    partly = changed(both, "outcomes", "silk", word=OutcomeWord.PARTLY)
    told = changed(partly, "keepers", "one", caption="One pale sheet")
    html = build(told, Audience.STUDENTS).index.read_text("utf-8")
    first, second = (
        html[html.index(f'<article class="spread" id="shot-{number}"') :].split("</article>")[0]
        for number in (1, 2)
    )
    assert (first.count("<figure"), second.count("<figure")) == (2, 1)
    assert '<span class="caption" dir="auto">One pale sheet</span>' in first
    assert "One pale sheet</span>" not in second


@pytest.mark.parametrize("audience", [Audience.CLIENT, Audience.STUDENTS])
def test_the_foot_says_whose_the_pictures_are_and_how_to_reach_the_photographer(
    account: TripAccount, build: Build, audience: Audience
) -> None:
    trip = replace(
        account.trip,
        credit="Ada Field",
        contact="ask@studio.example",
        rights="© 2031 Ada Field, print and web",
    )
    foot = foot_of(build(replace(account, trip=trip), audience))
    assert words(foot) == "Ada Field ask@studio.example © 2031 Ada Field, print and web"
    assert 'href="mailto:ask@studio.example"' in foot


def foot_of(report: BuiltReport) -> str:
    """The foot of a report's first page."""
    return (
        report.index.read_text(encoding="utf-8")
        .partition("<footer")[2]
        .partition(">")[2]
        .partition("</footer")[0]
    )


@pytest.mark.slow
@pytest.mark.parametrize(
    ("names", "told"),
    [
        (("arrived_at", "departed_at"), "Times from pictures or a track inferred"),
        (("arrived_at",), "Arrival from pictures or a track inferred"),
        (("departed_at",), "Departure from pictures or a track inferred"),
    ],
)
def test_what_nobody_stated_of_a_visit_says_so(
    account: TripAccount,
    changed: Callable[..., TripAccount],
    build: Build,
    texts: Texts,
    names: tuple[str, ...],
    told: str,
) -> None:
    visit = account.visits[0]
    unstated = dict.fromkeys((*names, "tries"), Provenance.INFERRED)
    stated, guessed = (
        " ".join(re.sub("<[^>]+>", " ", texts(build(one, Audience.STUDENTS))).split())
        for one in (account, changed(account, "visits", visit.id, provenance=unstated))
    )
    for words in (told, f"Tries {visit.tries} inferred"):
        assert words in guessed
        assert words not in stated


def test_a_picture_that_only_the_program_takes_for_a_planned_one_says_so(
    account: TripAccount, changed: Callable[..., TripAccount], build: Build, texts: Texts
) -> None:
    keeper = next(one for one in account.keepers if one.shot_id)
    word = dict(keeper.provenance) | {"shot_id": Provenance.INFERRED}
    assert "of this shot" not in texts(build(account, Audience.ARCHIVE))
    guessed = build(changed(account, "keepers", keeper.id, provenance=word), Audience.ARCHIVE)
    assert "of this shot" in texts(guessed)
