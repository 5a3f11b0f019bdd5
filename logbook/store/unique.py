"""Which fields of a record no second one may share, as the tables themselves say it.

One surprising decision: it is asked of the tables and never listed by hand, so that whoever takes in records
from elsewhere can name the record in the way instead of meeting the database's refusal.
"""

from sqlalchemy import Table, UniqueConstraint


def unique_fields(table: Table) -> tuple[tuple[str, ...], ...]:
    """Return each combination of fields that is unique in a table, the id not among them."""
    alone = [(column.name,) for column in table.columns if column.unique]
    together = [
        tuple(column.name for column in constraint.columns)
        for constraint in table.constraints
        if isinstance(constraint, UniqueConstraint)
    ]
    return tuple(sorted({*alone, *together}))
