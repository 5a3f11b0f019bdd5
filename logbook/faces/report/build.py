"""Building a report: the account that its audience may see, pictures, page model, text, folder.

One surprising decision: pictures are prepared first, because a page must know which originals were not found.
Their files are known here alone: what pages are made from has none.
"""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from logbook.craft.feasible import Feasibility
from logbook.domain.account import TripAccount
from logbook.domain.choosing import Chosen
from logbook.domain.discretion import account_for
from logbook.domain.errors import OutputError
from logbook.domain.keeper import Keeper
from logbook.domain.shown import Struck
from logbook.domain.words import Audience
from logbook.faces.report.builder import page_for
from logbook.faces.report.editions import EDITIONS, Edition
from logbook.faces.report.leaks import find_leaks, refuse_leaks
from logbook.faces.report.models import Image
from logbook.faces.report.order import Order, put_in_order
from logbook.faces.report.parts import Images
from logbook.faces.report.pictures import Original, Prepared, prepare_all
from logbook.faces.report.reuse import pictures_of
from logbook.faces.report.rows import classes_of, style_of
from logbook.faces.report.site import brought, rendered
from logbook.faces.report.table_csv import table_csv
from logbook.faces.report.writing import swapped_in
from logbook.intake.report_list import Listed, read_list
from logbook.services.keepers.originals import Looked, Standing, look_at_all
from logbook.services.keepers.showing import chosen_of
from logbook.sky.phases import CUSTOMARY, LightLimits

Progress = Callable[[str, int, int], None]  # what is being done, how many of it, of how many
Look = Callable[[Sequence[Keeper]], Mapping[str, Looked]]  # how originals stand, by keeper id
NAMED = 5  # changed originals that a refusal names


@dataclass(frozen=True, slots=True)
class MissingPicture:
    """A keeper whose original could not be shown, and why."""

    slug: str
    path: str
    why: str
    is_changed: bool = False  # something else lies where the original was


@dataclass(frozen=True, slots=True)
class BuiltReport:
    """A finished report: what to open, its pages, its pictures, those it could not show, words struck."""

    index: Path
    pages: tuple[Path, ...]
    pictures: int
    missing: tuple[MissingPicture, ...]
    struck: tuple[Struck, ...] = ()
    kept: tuple[str, ...] = ()  # a person's own in the folder, kept for the first time


@dataclass(frozen=True, slots=True)
class Filled:
    """What was written into a folder: its pages, how many pictures, which were missing, words struck."""

    pages: tuple[str, ...]
    pictures: int
    missing: tuple[MissingPicture, ...]
    struck: tuple[Struck, ...]
    homes: Mapping[str, str]  # the page that each anchor stands on
    images: Images
    chosen: Chosen


def build_report(
    account: TripAccount,
    audience: Audience,
    into: Path,
    *,
    templates: Path,
    feasibility: Mapping[str, Feasibility] | None = None,
    progress: Progress | None = None,
    needs_pictures: bool = False,
    limits: LightLimits = CUSTOMARY,
    look: Look = look_at_all,
    left_out: Collection[str] = (),
    keep_mine: bool = False,
    url: str = "",
) -> BuiltReport:
    """Write the report of one trip for one audience into the folder `into`, replacing an older report there.

    `templates` is the folder that holds `report/`; `feasibility` is by shot id, `limits` say which light is
    golden and blue, `look` how originals stand, `left_out` the ids of keepers that are not shown, `url` where
    the pages will stand; with
    `keep_mine` what a person did in the folder by hand is kept.

    Raises OutputError where `into` cannot be written or holds anything that is not a report of ours, where a
    report for others would lack a picture because its original is not what was taken in, and with
    `needs_pictures` where there are pictures and none can be shown; then nothing has changed.
    """
    shown = account_for(account, audience, feasibility=feasibility, left_out=left_out)
    order = put_in_order(shown, limits)
    originals = originals_of(account, order)
    looked = look(originals)
    if audience is not Audience.ARCHIVE:
        _refuse_changed(_missing(originals, looked))
    into = into.expanduser().resolve()
    before = read_list(into)
    earlier = pictures_of(into, before)
    with swapped_in(into, audience, account.trip.id, keep_mine=keep_mine) as building:
        edition = EDITIONS[audience]
        filled = fill(account, order, edition, originals, building, templates, earlier, looked, progress, url)
        if audience is not Audience.ARCHIVE:
            _refuse_changed(filled.missing)  # again: it may have been overwritten meanwhile
        if needs_pictures:
            _refuse_without_pictures(filled)
        if audience is not Audience.ARCHIVE:
            refuse_leaks(find_leaks(building, account, templates), f"The report in {into}")
    return BuiltReport(
        index=into / "index.html",
        pages=tuple(into / name for name in filled.pages),
        pictures=filled.pictures,
        missing=filled.missing,
        struck=filled.struck,
        kept=kept_since(before, into),
    )


def kept_since(before: Listed | None, into: Path) -> tuple[str, ...]:
    """Return what a finished report keeps of a person's own that the list before it did not have."""
    now = read_list(into)
    return tuple(sorted((now.mine if now else frozenset()) - (before.mine if before else frozenset())))


def _refuse_without_pictures(filled: Filled) -> None:
    """Raise OutputError where there are pictures and none can be shown."""
    if filled.missing and not filled.pictures:
        raise OutputError(
            f"None of the {len(filled.missing)} pictures can be shown, so no report was built: "
            f"{filled.missing[0].path}: {filled.missing[0].why}. "
            'If they were moved, "logbook keeper locate FOLDER" finds them again.'
        )


def _missing(keepers: Sequence[Keeper], looked: Mapping[str, Looked]) -> tuple[MissingPicture, ...]:
    stands = ((one, looked[one.id]) for one in keepers)
    return tuple(
        MissingPicture(one.slug, one.path, how.why, how.standing is Standing.CHANGED)
        for one, how in stands
        if how.standing is not Standing.HERE
    )


def _refuse_changed(missing: Sequence[MissingPicture]) -> None:
    """Raise OutputError that names the originals which are not what was taken in; pass where none is."""
    changed = [one for one in missing if one.is_changed]
    if not changed:
        return
    named = "; ".join(f"keeper {one.slug} ({one.path}: {one.why})" for one in changed[:NAMED])
    more = f"; and {len(changed) - NAMED} more" if len(changed) > NAMED else ""
    one = len(changed) == 1
    slugs = ",".join(each.slug for each in changed[:NAMED]) + (",…" if more else "")
    raise OutputError(
        f"{'An original has' if one else f'{len(changed)} originals have'} changed since import, so "
        f'no report was built: {named}{more}. "logbook keeper locate FOLDER" finds the originals, '
        f'"logbook keeper import FOLDER" imports {"the new version" if one else "the new versions"}, '
        f"and --leave-out {slugs} builds without {'it' if one else 'them'}."
    )


def originals_of(account: TripAccount, order: Order) -> tuple[Keeper, ...]:
    """Return the keepers as the book has them, with their files, in the order of the pages' pictures."""
    own = {one.id: one for one in account.keepers}
    return tuple(own[one.id] for one in order.keepers)


def fill(
    account: TripAccount,
    order: Order,
    edition: Edition,
    originals: Sequence[Keeper],
    building: Path,
    templates: Path,
    earlier: Callable[[str, Path], Image | None],
    looked: Mapping[str, Looked],
    progress: Progress | None = None,
    url: str = "",
) -> Filled:
    """Write the pages and pictures of one trip into an empty folder.

    `originals` are the pictures' own files, in order; `earlier` hands over pictures that an older report
    there already has, `looked` tells how originals stand; `url` is where the pages will stand.
    """
    prepared = _pictures(originals, building / "pictures", earlier, looked, progress)
    images: Images = {keeper_id: picture.image for keeper_id, picture in prepared.items()}
    if order.account.audience is Audience.CLIENT:  # who is shown the pictures, not what they lack
        order = order.without({one for one, image in images.items() if image is None})
    sizes_px = {one: (image.width_px, image.height_px) for one, image in images.items() if image}
    chosen = chosen_of(account, originals_of(account, order), sizes_px, order.account.audience)
    page = page_for(order, edition, images, chosen, templates / "geography", url)
    (building / "pages").mkdir()
    names = []
    used: set[str] = set()
    signs: set[str] = set()
    for name, html in rendered(page, templates):
        (building / name).write_text(html, encoding="utf-8", newline="\n")
        names.append(name)
        used |= classes_of(html)
        signs |= set(html)
        if progress:
            progress("pages", len(names), len(page.leaves) + len(page.picture_pages))
    (building / "rows.css").write_text(style_of(used), encoding="utf-8", newline="\n")
    for table in page.tables:
        (building / table.download).write_bytes(table_csv(table))
    (building / "type").mkdir()
    for name, content in brought(templates, signs).items():
        (building / name).write_bytes(content)
    return Filled(
        tuple(names),
        sum(image is not None for image in images.values()),
        tuple(
            MissingPicture(k.slug, k.path, prepared[k.id].why, prepared[k.id].is_changed)
            for k in originals
            if images[k.id] is None
        ),
        tuple(one for one in order.account.struck if one.field != "slug"),  # others see no short name there
        page.homes,
        images,
        chosen,
    )


def _pictures(
    originals: Sequence[Keeper],
    folder: Path,
    earlier: Callable[[str, Path], Image | None],
    looked: Mapping[str, Looked],
    progress: Progress | None,
) -> dict[str, Prepared]:
    """Write the pictures into a new folder; of originals that changed there is none."""
    folder.mkdir()
    changed = {k.id for k in originals if looked[k.id].standing is Standing.CHANGED}
    prepared = {one: Prepared(one, None, looked[one].why, is_changed=True) for one in changed}
    return prepared | prepare_all(
        (
            Original(k.id, k.path, k.hash, k.format, k.orientation, k.size_bytes)
            for k in originals
            if k.id not in changed
        ),
        folder,
        (lambda done, of: progress("pictures", done, of)) if progress else None,
        earlier,
    )
