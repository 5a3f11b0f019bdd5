"""The receiver's track of one day: walked and driven legs, and stays with a receiver's usual unrest."""

from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np

Stop = tuple[
    float, float, float, str, str
]  # latitude, longitude, elevation m, arrived, departed (local HH:MM)


def write_track(path: Path, name: str, day: str, zone: str, stops: list[Stop], seed: int = 61) -> None:
    """Write a GPX 1.1 track that stays at each stop and bends between them; times in UTC."""
    rng = np.random.default_rng(seed)
    points: list[tuple[datetime, float, float, float]] = []
    before: tuple[datetime, Stop] | None = None
    for stop in stops:
        arrived, departed = (
            datetime.fromisoformat(f"{day}T{text}").replace(tzinfo=ZoneInfo(zone)).astimezone(UTC)
            for text in stop[3:]
        )
        if before is not None:
            points += _leg(rng, before[0], arrived, before[1], stop)
        at = arrived
        while at < departed:
            north, east = rng.normal(0, 0.00002, 2)  # degrees; about two metres
            points.append((at, stop[0] + north, stop[1] + east, stop[2] + float(rng.normal(0, 1.2))))
            at += timedelta(seconds=90)
        before = (departed, stop)
    rows = [
        f'   <trkpt lat="{latitude:.6f}" lon="{longitude:.6f}"><ele>{elevation:.1f}</ele>'
        f"<time>{at:%Y-%m-%dT%H:%M:%SZ}</time></trkpt>"
        for at, latitude, longitude, elevation in points
    ]
    head = '<?xml version="1.0" encoding="UTF-8"?>\n<gpx version="1.1" creator="sample trip (invented)" '
    head += f'xmlns="http://www.topografix.com/GPX/1/1">\n <trk>\n  <name>{name}</name>\n  <trkseg>\n'
    path.write_text(head + "\n".join(rows) + "\n  </trkseg>\n </trk>\n</gpx>\n", encoding="utf-8")


def _leg(
    rng: np.random.Generator, start: datetime, end: datetime, here: Stop, there: Stop
) -> list[tuple[datetime, float, float, float]]:
    """Return the points of one leg, every 30 s, along a gently winding line."""
    steps = max(2, int((end - start).total_seconds() // 30))
    bends = rng.normal(0, 0.10, 4)
    north, east = there[0] - here[0], there[1] - here[1]
    points = []
    for step in range(1, steps):
        t = step / steps
        aside = float(sum(b * np.sin((k + 1) * np.pi * t) / (k + 1) for k, b in enumerate(bends)))
        points.append((
            start + (end - start) * t,
            here[0] + north * t - east * aside + float(rng.normal(0, 0.00002)),
            here[1] + east * t + north * aside + float(rng.normal(0, 0.00002)),
            here[2] + (there[2] - here[2]) * t + 14 * aside + float(rng.normal(0, 1.0)),
        ))  # fmt: skip
    return points
