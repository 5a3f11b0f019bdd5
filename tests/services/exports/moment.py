"""The instant at which the books of these tests are written."""

from datetime import UTC, datetime

NOW = datetime(2031, 10, 20, 20, tzinfo=UTC)
