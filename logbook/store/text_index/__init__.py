"""The text index: everything written down or read from pictures, as words and facts that can be asked for.

One surprising decision: triggers only note *which* records changed (they cannot forget one, whoever writes);
what a record's document says is worked out once, at the end of the same transaction, and a rebuilt index goes
through the same few lines. The index is derived: it holds nothing that the book does not hold elsewhere.
"""
