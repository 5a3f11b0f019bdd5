"""A report in several pages: which there are, what stands on each, and that every link finds its way."""

import re
from collections.abc import Callable
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote

import pytest

from logbook.domain.account import TripAccount
from logbook.domain.words import Audience
from logbook.faces.report import BuiltReport
from tests.faces.demo_pages import text_pages
from tests.faces.report.long_trips import long_trip

Build = Callable[..., BuiltReport]
THREE_DAYS = ["day-1.html", "day-2.html", "day-3.html"]


class Anchors(HTMLParser):
    """What a page links to, and what can be linked to in it."""

    def __init__(self, path: Path) -> None:
        super().__init__()
        self.links: list[dict[str, str | None]] = []
        self.ids: list[str] = []
        self.feed(path.read_text(encoding="utf-8"))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.ids += filter(None, [given.get("id")])
        if tag == "a" and given.get("href"):
            self.links.append(given)


def names(report: BuiltReport) -> list[str]:
    """The files of the pages of text."""
    return [path.name for path in text_pages(report.index.parent)]


def read(report: BuiltReport, name: str) -> str:
    return (report.index.parent / name).read_text(encoding="utf-8")


def words(html: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


@pytest.fixture
def sixty(account: TripAccount, tmp_path: Path) -> TripAccount:
    """Sixty pictures over three days."""
    return long_trip(account, tmp_path / "originals", [30, 20, 10])


def dead_links(report: Path) -> list[str]:
    """Links of a report's pages whose file or anchor is not there."""
    pages = {path.resolve(): Anchors(path) for path in report.rglob("*.html")}
    dead = []
    for path, page in pages.items():
        assert len(page.ids) == len(set(page.ids)), path
        for link in page.links:
            name, _, anchor = unquote(link["href"] or "").partition("#")
            file = (path.parent / name).resolve() if name else path
            if not file.is_file() or (anchor and anchor not in pages[file].ids):
                dead.append(f"{path.name}: {link['href']}")
    return dead


@pytest.mark.slow
@pytest.mark.parametrize("audience", Audience)
@pytest.mark.parametrize(
    ("counts", "undated"),
    [
        ([30, 20, 10], 0),
        pytest.param([30, 0, 20], 3, marks=pytest.mark.slow),
        pytest.param([3, 2], 1, marks=pytest.mark.slow),
        pytest.param([50], 2, marks=pytest.mark.slow),
        pytest.param([0, 0], 45, marks=pytest.mark.slow),
        pytest.param([100, 90, 80, 70, 60], 4, marks=pytest.mark.slow),
    ],
)
def test_every_link_of_every_page_finds_its_target(
    account: TripAccount,
    build: Build,
    tmp_path: Path,
    audience: Audience,
    counts: list[int],
    undated: int,
) -> None:
    report = build(long_trip(account, tmp_path / "originals", counts, undated), audience)
    assert dead_links(report.index.parent) == []
    linked = {link["href"] for page in report.pages for link in Anchors(page).links}
    assert len(linked) > sum(counts)


@pytest.mark.slow
@pytest.mark.parametrize("audience", Audience)
def test_more_than_forty_pictures_over_several_days_have_a_page_a_day(
    sixty: TripAccount, build: Build, audience: Audience
) -> None:
    report = build(sixty, audience)
    files = names(report)
    assert [name for name in files if name.startswith("day")] == THREE_DAYS
    assert {path.name for path in report.pages} >= set(files)


@pytest.mark.slow
def test_up_to_forty_pictures_stay_on_one_page_but_for_students(
    account: TripAccount, build: Build, tmp_path: Path
) -> None:
    forty = long_trip(account, tmp_path / "originals", [20, 20])
    assert names(build(forty, Audience.CLIENT, "c")) == ["index.html"]
    assert names(build(forty, Audience.ARCHIVE, "a")) == ["index.html"]
    assert {"index.html", "day-1.html", "day-2.html"} < set(names(build(forty, Audience.STUDENTS, "s")))


@pytest.mark.slow
@pytest.mark.parametrize("audience", Audience)
def test_a_trip_of_one_day_is_one_page_however_many_pictures_it_has(
    account: TripAccount, build: Build, tmp_path: Path, audience: Audience
) -> None:
    assert names(build(long_trip(account, tmp_path / "originals", [45]), audience)) == ["index.html"]


@pytest.mark.slow
@pytest.mark.parametrize("audience", Audience)
def test_each_picture_stands_on_the_page_of_its_day_and_the_large_view_leads_back_there(
    sixty: TripAccount, build: Build, audience: Audience
) -> None:
    report = build(sixty, audience)
    for day, first, last in (1, 1, 30), (2, 31, 50), (3, 51, 60):
        ids = Anchors(report.index.parent / f"day-{day}.html").ids
        found = sorted(int(one.removeprefix("picture-")) for one in ids if one.startswith("picture-"))
        assert found == list(range(first, last + 1))
        for number in first, last:
            large = read(report, f"pages/picture-{number:03d}.html")
            assert f'href="../day-{day}.html#picture-{number}">Back to Day {day}</a>' in large
            assert f"Day {day}: {number - first + 1} of {last - first + 1}</span>" in large


def test_the_large_view_of_one_page_counts_all_pictures(account: TripAccount, build: Build) -> None:
    large = read(build(account), "pages/picture-003.html")
    assert '<span class="place-in-row">3 of 3</span>' in large
    assert 'href="../index.html#picture-3">Back to the report</a>' in large


@pytest.mark.slow
@pytest.mark.parametrize("audience", Audience)
def test_a_day_without_pictures_has_a_page_for_those_who_read_of_more_than_pictures(
    account: TripAccount, build: Build, tmp_path: Path, audience: Audience
) -> None:
    report = build(long_trip(account, tmp_path / "originals", [30, 0, 20]), audience)
    assert ("day-2.html" in names(report)) == (audience is not Audience.CLIENT)
    if audience is not Audience.CLIENT:
        told = words(read(report, "day-2.html"))
        assert "No pictures and two shots planned" in told
        assert "Journal 1" in told


@pytest.mark.slow
@pytest.mark.parametrize("audience", Audience)
def test_what_is_of_no_day_has_a_page_of_its_own(
    account: TripAccount, build: Build, tmp_path: Path, audience: Audience
) -> None:
    report = build(long_trip(account, tmp_path / "originals", [30, 20], undated=3), audience)
    html = read(report, "undated.html")
    ids = [one for one in Anchors(report.index.parent / "undated.html").ids if one.startswith("picture-")]
    assert sorted(ids) == ["picture-51", "picture-52", "picture-53"]
    assert "<h1>Without a day</h1>" in html
    assert ("For no day" in html) == (audience is not Audience.CLIENT)
    assert "Without a day: 1 of 3" in read(report, "pages/picture-051.html")


@pytest.mark.slow
@pytest.mark.parametrize("audience", Audience)
def test_every_page_says_where_one_is_and_leads_on_and_back(
    sixty: TripAccount, build: Build, audience: Audience
) -> None:
    report = build(sixty, audience)
    folder = report.index.parent
    order = [link["href"] for link in Anchors(report.index).links if (link["href"] or "").endswith(".html")]
    files = ["index.html", *dict.fromkeys(one for one in order if one and "/" not in one)]
    assert sorted(files) == sorted(names(report))
    titles = [re.search(r"<title>(.*?)</title>", read(report, name)) for name in files]
    assert len({title[1] for title in titles if title}) == len(files)
    assert "Day 2, Wednesday 15 October 2031 – High valley" in read(report, "day-2.html")
    for number, name in enumerate(files):
        links = Anchors(folder / name).links
        (current,) = [link for link in links if link.get("aria-current") == "page"]
        assert current["href"] == "#content"
        by_rel = {link["rel"]: link["href"] for link in links if link.get("rel")}
        assert by_rel.get("prev") == (files[number - 1] if number else None)
        assert by_rel.get("next") == (files[number + 1] if number + 1 < len(files) else None)
        listed = {link["href"] for link in links} | {name}
        assert set(files) <= listed


@pytest.mark.slow
def test_a_files_name_tells_no_date(sixty: TripAccount, build: Build) -> None:
    for audience in Audience:
        for path in build(sixty, audience, audience).index.parent.rglob("*.html"):
            assert "2031" not in path.name


@pytest.mark.slow
@pytest.mark.parametrize("audience", Audience)
def test_a_days_settings_are_those_of_its_pictures_and_one_table_has_all(
    sixty: TripAccount, build: Build, audience: Audience
) -> None:
    report = build(sixty, audience)
    rows = len(re.findall(r'<th scope="row"', read(report, "pictures.html")))
    assert rows == 60
    if audience is not Audience.CLIENT:
        assert len(re.findall(r'id="settings-caption"', read(report, "day-2.html"))) == 1
    assert [name for name in names(report) if 'href="settings.csv"' in read(report, name)] == [
        "pictures.html"
    ]
    assert len((report.index.parent / "settings.csv").read_text("utf-8").splitlines()) == 61


@pytest.mark.slow
def test_every_page_has_an_address_of_its_own_where_one_was_given(sixty: TripAccount, build: Build) -> None:
    report = build(sixty, Audience.STUDENTS, url="https://photos.example/valley/")
    for name in (*names(report), "pages/picture-031.html"):
        own = f"https://photos.example/valley/{'' if name == 'index.html' else name}"
        html = read(report, name)
        assert f'<link rel="canonical" href="{own}">' in html
        assert f'<meta property="og:url" content="{own}">' in html
        title = re.search(r"<title>(.*?)</title>", html)
        assert title
        assert f'<meta property="og:title" content="{title[1]}">' in html
    image = re.search(
        r'og:image" content="https://photos.example/valley/([^"]+)"', read(report, "day-2.html")
    )
    assert image
    assert image[1] in read(report, "day-2.html").replace("https://photos.example/valley/", "", 1)
    assert (report.index.parent / image[1]).is_file()
    assert "canonical" not in read(build(sixty, Audience.STUDENTS, "own"), "day-2.html")


@pytest.mark.slow
def test_a_set_of_frames_is_one_picture_on_a_clients_day(
    account: TripAccount, build: Build, tmp_path: Path, changed: Callable[..., TripAccount]
) -> None:
    from logbook.domain.keeper import KeeperSet
    from logbook.domain.words import SetKind
    from tests.faces.report.conftest import record

    trip = long_trip(account, tmp_path / "originals", [30, 20])
    frames = tuple(one.id for one in trip.keepers[:3])
    one_set = KeeperSet(**record("s"), trip_id="trip", kind=SetKind.BRACKET, keeper_ids=frames)
    report = build(replace(trip, sets=(one_set,)), Audience.CLIENT)
    ids = [one for one in Anchors(report.index.parent / "day-1.html").ids if one.startswith("picture-")]
    assert len(ids) == 28
    assert "Twenty-eight pictures" in words(read(report, "day-1.html")) or "28 pictures" in words(
        read(report, "day-1.html")
    )
    assert dead_links(report.index.parent) == []
