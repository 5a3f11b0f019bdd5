"""What a client's browser asks for before anybody scrolls: page, style, type and the pictures at hand."""

from pathlib import Path
from typing import Any

import pytest

LAPTOP, PHONE = (1440, 900), (360, 740)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("size", "scale", "most_bytes"), [(LAPTOP, 1, 600_000), (LAPTOP, 2, 1_200_000), (PHONE, 3, 700_000)]
)
def test_the_samples_first_screen_is_light(
    browser: Any, demo: Path, size: tuple[int, int], scale: int, most_bytes: int
) -> None:
    within = browser.new_context(viewport={"width": size[0], "height": size[1]}, device_scale_factor=scale)
    page = within.new_page()
    asked: set[Path] = set()
    page.on("request", lambda request: asked.add(Path(request.url.removeprefix("file://"))))
    page.goto((demo / "client" / "index.html").as_uri(), wait_until="networkidle")
    within.close()
    assert {"index.html", "style.css", "type.css"} <= {path.name for path in asked}
    assert any(path.suffix == ".jpg" for path in asked)
    assert sum(path.stat().st_size for path in asked) <= most_bytes
