"""What looking back counts, kept in step with the records: one row for each viewpoint of a trip.

One surprising decision: a row holds its keepers, visits and shots a column a fact and a line a record, as a
hundred thousand records come out of a few thousand rows many times faster than one by one. The tables belong
to the search index: they are made, dropped, set aside, compared and rebuilt with it.
"""
