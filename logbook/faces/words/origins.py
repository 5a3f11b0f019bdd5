"""Which parts of a visit no person stated, in words, for lists that have no room for a word beside each.

One surprising decision: arrival and departure are one part, as they are said and worked out together.
"""

from collections.abc import Mapping

_PARTS = {
    "place": ("viewpoint_id", "viewpoint"),
    "times": ("arrived_at", "departed_at"),
    "purpose": ("purpose",),
    "support": ("support",),
    "tries": ("tries",),
}


def unstated_of_visit(provenance: Mapping[str, str]) -> str:
    """Return the parts of a visit that were only worked out or carried forward: `times, tries`."""
    return ", ".join(part for part, names in _PARTS.items() if any(name in provenance for name in names))
