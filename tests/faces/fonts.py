"""Sets of fonts as Debian machines have them, so that what a page measures is tried with each.

The files are those of Debian's fonts-dejavu-core, fonts-dejavu-extra, fonts-liberation and fonts-noto-core;
LOGBOOK_FONTS names another folder to look in, such as one into which these packages were unpacked. The
machine's own rules for fonts are left out: they too move words, and with some of them pages fitted by a hair.
"""

import os
from pathlib import Path

import pytest

CORE = (
    *("DejaVuSans", "DejaVuSans-Bold", "DejaVuSansMono", "DejaVuSansMono-Bold"),
    *("DejaVuSerif", "DejaVuSerif-Bold"),
)
# By a name: which files, and those without which it would be another set.
SETS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "DejaVu core": (CORE, CORE),
    "DejaVu with extra faces": (("DejaVu*",), (*CORE, "DejaVuSerif-Italic", "DejaVuSansCondensed")),
    "Liberation and Noto": (
        ("Liberation*", "NotoSans-*", "NotoSerif-*"),
        ("LiberationSans-Regular", "LiberationMono-Regular", "NotoSans-Bold", "NotoSerif-Italic"),
    ),
}
_CONFIGURED = """<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "urn:fontconfig:fonts.dtd">
<fontconfig>
<dir>{folder}</dir>
<cachedir>{folder}/cache</cachedir>
{aliases}
</fontconfig>
"""


_GENERIC = {
    "serif": ("DejaVu Serif", "Noto Serif"),
    "sans-serif": ("DejaVu Sans", "Noto Sans"),
    "monospace": ("DejaVu Sans Mono", "Liberation Mono"),
}


def configured(name: str, folder: Path) -> Path:
    """Return a fontconfig file that knows one set alone; skips where a file of it is missing."""
    patterns, needed = SETS[name]
    roots = [Path(root) for root in (os.environ.get("LOGBOOK_FONTS"), "/usr/share/fonts/truetype") if root]
    found = {
        file.name: file
        for root in reversed(roots)
        for pattern in patterns
        for file in root.rglob(f"{pattern}.ttf")
    }
    missing = sorted({f"{one}.ttf" for one in needed} - set(found))
    if missing:
        pytest.skip(f"the fonts {name} are not installed: {', '.join(missing)}")
    for file in found.values():
        (folder / file.name).symlink_to(file)
    aliases = "\n".join(
        f"<alias><family>{generic}</family><prefer>"
        f"{''.join(f'<family>{family}</family>' for family in families)}</prefer></alias>"
        for generic, families in _GENERIC.items()
    )
    written = folder / "fonts.conf"
    written.write_text(_CONFIGURED.format(folder=folder, aliases=aliases), encoding="utf-8")
    return written
