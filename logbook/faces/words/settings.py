"""Settings in one line of a table or a brief."""

from logbook.craft.settings_text import settings_told


def settings_words(record: object) -> str:
    """Return settings in one line as photographers write them: `1/125 s f/8 ISO 200 24 mm`."""
    return " ".join(settings_told(record))
