"""Spoilt exports: some hundreds, thousands with `-m slow`, more with `python -m tests.fuzz.export_json`."""

import pytest

from logbook.services.exports.book_json import Records, to_document
from logbook.services.exports.json_text import json_text
from tests.examples import slow
from tests.fuzz.export_json import trials


@pytest.mark.parametrize("count", [150, *slow(3000)])
def test_every_spoilt_export_is_taken_in_or_refused_in_one_sentence(records: Records, count: int) -> None:
    seeds = [json_text(to_document(records, private=True))]
    taken = sum(trials(count, seed=7, seeds=seeds))
    assert 0 < taken < count / 2, "most are refused, some still make sense"
