"""A day made by hand: two shots at one place whose sun events are published, and a small kit."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, time
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.account import TripAccount
from logbook.domain.condition import Condition
from logbook.domain.kit import KitItem, PackedItem
from logbook.domain.shot import Shot
from logbook.domain.site import Site
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import (
    ConditionKind,
    Footing,
    KitKind,
    Packing,
    SubjectKind,
    Support,
    TripodRule,
)
from logbook.faces.sheet.builder import build_sheet
from logbook.faces.sheet.models import Paper, Sheet
from logbook.faces.sheet.writing import FIELD_SHEET, rendered
from logbook.services.plans.sheets import day_in
from logbook.store.outputs import put_files

TEMPLATES = Path(__file__).parents[3] / "templates"
DAY = date(2032, 10, 10)  # of entry sunevent-05 in tests/truth/sun_events.json, as are place and zone
NOON = datetime(2032, 1, 1, tzinfo=UTC)


def record(record_id: str) -> dict[str, Any]:
    return {"id": record_id, "created": NOON, "updated": NOON}


def seen(slug: str, kind: ConditionKind, on: date, note: str, **more: Any) -> Condition:
    """An observation at the ledge, on a trip of long ago."""
    return Condition(
        **record(slug), slug=slug, trip_id="old", kind=kind, on_date=on, note=note,
        viewpoint_id="ledge", **more,
    )  # fmt: skip


CONDITIONS = (
    seen("shut", ConditionKind.CLOSURE, date(2030, 5, 2), "the lower path, rockfall", source="the warden"),
    seen("later", ConditionKind.CLOSURE, date(2033, 1, 1), "not known yet"),
    seen("wind", ConditionKind.WIND, date(2030, 5, 2), "gusty"),
    replace(seen("far", ConditionKind.CLOSURE, date(2030, 5, 2), "elsewhere"), viewpoint_id="elsewhere"),
)


@pytest.fixture
def account() -> TripAccount:
    kit = {
        slug: KitItem(**record(slug), slug=slug, title=title, kind=kind, filter_name=name)
        for slug, title, kind, name in (
            ("first", "First ND8", KitKind.FILTER, "nd8"),
            ("second", "Second ND8", KitKind.FILTER, "nd8"),
            ("home", "Dense filter", KitKind.FILTER, "nd1000"),
            ("legs", "Tripod", KitKind.SUPPORT, None),
        )
    }
    decided = {"home": (Packing.LEFT, "too dense"), "legs": (Packing.TAKEN, None)}
    packed = tuple(
        PackedItem(
            **record(f"p-{slug}"), trip_id="trip", item_id=slug,
            packing=decided.get(slug, (Packing.TAKEN, None))[0], why=decided.get(slug, (None, None))[1],
        )
        for slug in kit
    )  # fmt: skip
    silk = Shot(
        **record("silk"), slug="silk", title="Silk water", trip_id="trip", viewpoint_id="ledge", on_date=DAY,
        window_from=time(16), window_to=time(17), focal_mm=35, f_number=11, exposure_s=Fraction(1),
        iso=100, filters=("nd8", "nd8"), support=Support.TRIPOD,
    )  # fmt: skip
    return TripAccount(
        trip=Trip(**record("trip"), slug="trip", title="River trip", zone="Asia/Kathmandu"),
        sites={
            "river": Site(
                **record("river"), slug="river", title="River", kinds=(SubjectKind.RIVER,),
                latitude_deg=27.7172, longitude_deg=85.324, access="By the bridge", walk_min=15,
                hazards="Loose stones", footing=Footing.ROCK,
            )
        },
        viewpoints={
            "ledge": Viewpoint(
                **record("ledge"), slug="ledge", title="Ledge", site_id="river", facing_deg=70.0,
                tripod_rule=TripodRule.FORBIDDEN,
            )
        },
        shots=(
            silk,
            replace(
                silk, id="rough", slug="rough", title="Rough water", window_from=time(18, 30), window_to=None,
                fallback_for_id="silk", filters=None,
            ),
        ),
        kit=kit,
        packed=packed,
    )  # fmt: skip


@pytest.fixture
def sheet_of() -> Callable[..., Sheet]:
    """Return what builds the sheet of an account for a day."""
    return lambda account, on=DAY, paper=Paper.A4: build_sheet(day_in(account, on, CONDITIONS), paper)


@pytest.fixture
def page_of(sheet_of: Callable[..., Sheet], tmp_path: Path) -> Callable[..., Path]:
    """Return what writes the sheet of an account and says where."""

    def write(account: TripAccount, **how: Any) -> Path:
        html = rendered(sheet_of(account, **how), TEMPLATES)
        return put_files({tmp_path / "sheet.html": html.encode()}, FIELD_SHEET)[0]

    return write
