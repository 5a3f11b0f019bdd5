"""What stands beside the large view of a picture."""

from collections.abc import Iterator

from logbook.domain.keeper import Keeper
from logbook.faces.report.models import Fact, PicturePage
from logbook.faces.report.order import Order
from logbook.faces.report.parts import PageDraft, fact, facts, moment_text, passage, passages, shot_reference
from logbook.faces.report.settings import (
    LINE,
    SETTINGS,
    UNKNOWN,
    distance_words,
    light_words,
    setting,
    settings_line,
)
from logbook.faces.words.phrases import bearing_text, listed, number_word, position_text, whole_bearing
from logbook.faces.words.prose import line

_MORE = ("focal_35mm", "bias_stops", "exposure_mode", "metering", "lens")  # where they are known
_ALL = (*LINE[:4], "focal_35mm", "exposure_mode", "metering", "lens", "body", "filters", "support")


def picture_pages(draft: PageDraft) -> tuple[PicturePage, ...]:
    """Return the large view of every picture."""
    sets = _sets(draft.order)
    return tuple(_page(draft, keeper, sets.get(keeper.id, "")) for keeper in draft.order.keepers)


def _page(draft: PageDraft, keeper: Keeper, in_set: str) -> PicturePage:
    order, edition = draft.order, draft.edition
    if not edition.with_craft:
        names = [name for name in LINE if order.account.sees(Keeper, name)]
        return PicturePage(draft.figures[keeper.id], facts(fact("Settings", *settings_line(keeper, names))))
    belongs = (fact("Part of", in_set), fact("Made for", shot_reference(order, keeper.shot_id)))
    if edition.with_book:
        told: Iterator[Fact | None] = _in_the_book(keeper, belongs)
    else:
        told = _in_a_class(order, keeper, belongs)
    return PicturePage(
        draft.figures[keeper.id],
        facts(*told),
        passages(passage(keeper.note, "Note"), passage(keeper.alternative, "Alternative text"))
        if edition.with_book
        else (),
    )


def _in_a_class(order: Order, keeper: Keeper, belongs: tuple[Fact | None, ...]) -> Iterator[Fact | None]:
    names = [*LINE, *(name for name in _MORE if getattr(keeper, name) is not None)]
    yield from (fact(SETTINGS[name].head, setting(keeper, name)) for name in names)
    if keeper.direction_deg is not None and keeper.viewpoint_id in order.account.viewpoints:
        north = " by compass" if keeper.direction_is_magnetic else ""
        yield fact("Facing", f"{bearing_text(keeper.direction_deg)}{north}")
    yield from belongs


def _in_the_book(keeper: Keeper, belongs: tuple[Fact | None, ...]) -> Iterator[Fact | None]:
    """Everything; a field that the noun gains must be added here too."""
    yield from (fact(SETTINGS[name].head, setting(keeper, name)) for name in _ALL)
    fired = "fired" if keeper.flash_fired else "did not fire"
    yield fact("Flash", UNKNOWN if keeper.flash_fired is None else fired)
    yield fact("Auto bracket", {None: "", True: "yes", False: "no"}[keeper.auto_bracket])
    yield from belongs
    if keeper.latitude_deg is not None and keeper.longitude_deg is not None:
        yield fact("Camera position", position_text(keeper.latitude_deg, keeper.longitude_deg, 6))
    if keeper.altitude_m is not None:
        yield fact("Camera altitude", f"{keeper.altitude_m:.0f} m")
    if keeper.direction_deg is not None:
        north = {None: "", True: "magnetic", False: "true"}[keeper.direction_is_magnetic]
        yield fact("Camera direction", f"{whole_bearing(keeper.direction_deg)} {north}")
    yield fact("Camera's light reading", *light_words(keeper))
    yield fact("Subject distance", *distance_words(keeper))
    yield fact("Rating", str(keeper.rating) if keeper.rating is not None else "")
    yield fact("Label", line(keeper.label))
    yield fact("Keywords", *map(line, keeper.keywords))
    yield fact("Place, from the file", line(keeper.place))
    yield fact("Credit, from the file", line(keeper.credit))
    yield fact("Copyright, from the file", line(keeper.copyright))
    yield fact("Time by the camera's clock", line(keeper.taken_text), line(keeper.utc_offset_text))
    yield fact("Time corrected", moment_text(keeper))
    yield fact("Zone", line(keeper.zone))
    evidence = str(keeper.clock_evidence or "no evidence")
    yield fact("Clock correction", f"{keeper.clock_offset_s:+d} s", evidence)
    yield fact("Instant", f"{keeper.taken_utc:%Y-%m-%d %H:%M:%S} UTC" if keeper.taken_utc else "")
    size = f"{keeper.width_px} × {keeper.height_px} px" if keeper.width_px and keeper.height_px else ""
    yield fact("File", line(keeper.file), line(keeper.format), size, f"{keeper.size_bytes} bytes")
    yield fact("Orientation", str(keeper.orientation or ""))
    yield fact("Path", line(keeper.path))
    yield fact("SHA-256", line(keeper.hash))
    yield fact("Other files of the frame", *map(line, keeper.also))
    yield fact("Slug", line(keeper.slug))
    yield fact("Doubts", *map(line, keeper.doubts))


def _sets(order: Order) -> dict[str, str]:
    """By keeper id what set a picture belongs to: "bracket of three: pictures 4, 5 and 6"."""
    said = {}
    for group in order.account.sets:
        numbers = sorted(order.keeper_numbers[k] for k in group.keeper_ids if k in order.keeper_numbers)
        pictures = listed([str(number) for number in numbers])
        text = f"{group.kind} of {number_word(len(numbers))}: pictures {pictures}"
        said.update(dict.fromkeys(group.keeper_ids, text))
    return said
