"""A second build takes over every picture that is still whole, and makes the others anew."""

from collections.abc import Callable
from hashlib import sha256
from pathlib import Path

import pytest

from logbook.domain.account import TripAccount
from logbook.faces.report import BuiltReport

Build = Callable[..., BuiltReport]


def pictures(report: BuiltReport) -> dict[str, tuple[int, bytes]]:
    """By name: when each published picture was written, and its content."""
    folder = report.index.parent / "pictures"
    return {path.name: (path.stat().st_mtime_ns, path.read_bytes()) for path in sorted(folder.iterdir())}


def pages(report: BuiltReport) -> list[str]:
    return [path.read_text(encoding="utf-8") for path in report.pages]


def test_a_changed_caption_writes_no_picture_again(
    account: TripAccount, build: Build, changed: Callable[..., TripAccount]
) -> None:
    before = pictures(build(account))
    assert len(before) >= 5
    after = build(changed(account, "keepers", "one", caption="Another caption"))
    assert pictures(after) == before
    assert "Another caption" in after.index.read_text(encoding="utf-8")


@pytest.mark.slow
def test_pages_of_taken_over_pictures_are_the_same_as_of_fresh_ones(
    account: TripAccount, build: Build
) -> None:
    first = pages(build(account))
    assert pages(build(account)) == first
    assert pages(build(account, name="elsewhere")) == first


@pytest.mark.parametrize("harm", [lambda b: b[:-1], lambda b: b[:900] + b"\0" + b[901:], lambda b: b""])
def test_a_damaged_picture_is_made_again(
    account: TripAccount, build: Build, harm: Callable[[bytes], bytes]
) -> None:
    report = build(account)
    before = pictures(report)
    broken = sorted((report.index.parent / "pictures").iterdir())[0]
    broken.write_bytes(harm(broken.read_bytes()))
    after = pictures(build(account, keep_mine=True))
    assert after.pop(f"{broken.name}.mine")
    assert {name: content for name, (_, content) in after.items()} == {
        name: content for name, (_, content) in before.items()
    }


def test_a_missing_width_is_made_again(account: TripAccount, build: Build) -> None:
    report = build(account)
    before = {name: content for name, (_, content) in pictures(report).items()}
    sorted((report.index.parent / "pictures").iterdir())[-1].unlink()
    after = pictures(build(account, keep_mine=True))
    assert {name: content for name, (_, content) in after.items()} == before


def test_a_picture_is_taken_over_although_its_original_has_gone(account: TripAccount, build: Build) -> None:
    assert len(build(account).missing) == 1
    Path(account.keepers[0].path).unlink()
    assert len(build(account).missing) == 1


def test_a_picture_that_left_the_trip_leaves_the_report(
    account: TripAccount, build: Build, changed: Callable[..., TripAccount]
) -> None:
    before = pictures(build(account))
    path = Path(account.keepers[0].path)
    content = path.read_bytes() + b"another"
    path.write_bytes(content)
    known = {"hash": sha256(content).hexdigest(), "size_bytes": len(content)}
    after = pictures(build(changed(account, "keepers", "one", **known)))
    assert len(after) == len(before)
    assert not set(after) >= set(before)
