"""The small trip of the export tests, to be spoilt."""

from tests.services.exports.conftest import records

__all__ = ["records"]
