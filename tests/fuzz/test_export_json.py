"""A few thousand spoilt exports in every run; many more with `python -m tests.fuzz.export_json`."""

from logbook.services.exports.book_json import Records, to_document
from logbook.services.exports.json_text import json_text
from tests.fuzz.export_json import trials

COUNT = 3000


def test_every_spoilt_export_is_taken_in_or_refused_in_one_sentence(records: Records) -> None:
    seeds = [json_text(to_document(records, private=True))]
    taken = sum(trials(COUNT, seed=7, seeds=seeds))
    assert 0 < taken < COUNT / 2, "most are refused, some still make sense"
