"""What the schema of a book may hold, and what stands in one that this program did not make.

Surprising decisions: nothing is listed by hand but the digest by which a book as this program makes it is
known at once. What is expected is asked of the rows and of the statements that make a book, so that a later
column is expected from the day it is there. Updates add, or ask less of a column, so an older book holds a
part of it; its triggers and its text index are dropped, unrun, before anything else. SQL is compared as
words, and a table as the set of what stands between its commas: columns that an update added stand last and
carry their reference with them; a new book has them elsewhere.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache, lru_cache
from hashlib import blake2b

from sqlalchemy import Connection
from sqlalchemy.dialects import sqlite
from sqlalchemy.schema import CreateIndex, CreateTable

from logbook.store import known_files, seals
from logbook.store.changes import objects as changes
from logbook.store.tables import all_tables
from logbook.store.text_index import objects as index

Words = tuple[str, ...]
_TOKEN = re.compile(
    r"""(?P<gap>\s+|--[^\n]*|/\*.*?(?:\*/|$))
    | (?P<text>'(?:[^']|'')*')
    | "(?P<double>(?:[^"]|"")*)" | \[(?P<square>[^\]]*)\] | `(?P<tick>(?:[^`]|``)*)`
    | (?P<word>[^\W\d][\w$]*) | (?P<number>\d[\w.]*) | (?P<sign>\|\||<>|<=|>=|==|!=|.)""",
    re.VERBOSE | re.DOTALL,
)
_QUOTES = ("double", "square", "tick")
_OF_TABLES = ("primary", "unique", "check", "foreign", "constraint")  # begin what is not a column
VERSION_TABLE = "alembic_version"  # in which older books say their version a second time
SQLITES_OWN = ("sqlite_stat1", "sqlite_stat4")  # what ANALYZE writes; numbers, and nothing that runs
DIGEST_BYTES = 16
LISTED = 3  # foreign things that a sentence names
# Of a new book's schema: working out what one may hold takes longer than many a command.
AS_MADE = "0fac1c46252b1cd8f6708545b72b4607"
Entry = tuple[str, str, str | None]  # type, name and SQL, as sqlite_schema has them


def words_of(sql: str) -> Words:
    """Return the words and signs of a statement; names without quotes, and all but texts in small letters."""
    return tuple(_words(sql))


def _words(sql: str) -> Iterator[str]:
    for found in _TOKEN.finditer(sql):
        kind = found.lastgroup or "sign"
        if kind in _QUOTES:
            yield found[kind].lower()
        elif kind != "gap":
            yield found[kind] if kind == "text" else found[kind].lower()


def parts_of_table(sql: str) -> frozenset[Words]:
    """Return what a CREATE TABLE says, as a set: its columns, its constraints, and what follows them."""
    words = words_of(sql)
    if "(" not in words:
        return frozenset([words])
    begin = words.index("(")
    parts: list[list[str]] = [[]]
    depth, at = 1, begin + 1
    while at < len(words) and depth:
        word = words[at]
        depth += (word == "(") - (word == ")")
        if word == "," and depth == 1:
            parts.append([])
        elif depth:
            parts[-1].append(word)
        at += 1
    found = {part for one in parts for part in _plain_part(tuple(one))}
    return frozenset(found | ({("after", *words[at:])} if words[at:] else set()))


def _plain_part(part: Words) -> Iterator[Words]:
    """A reference that stands with its column becomes one of the table's."""
    if part and part[0] not in _OF_TABLES and "references" in part:
        at = part.index("references")
        yield part[:at]
        yield ("foreign", "key", "(", part[0], ")", *part[at:])
    else:
        yield part


@dataclass(frozen=True, slots=True)
class SchemaFound:
    """How a book's schema compares: what is foreign, and which of our own things are not there."""

    foreign: tuple[str, ...]  # "trigger x", "view y"
    missing_tables: tuple[str, ...]
    missing_derived: tuple[str, ...]  # triggers and indexes of the records
    index_is_whole: bool  # the text index has all its tables and triggers


@cache
def _tables() -> dict[str, str]:
    dialect = sqlite.dialect()
    made = {table.name: str(CreateTable(table).compile(dialect=dialect)) for table in all_tables()}
    made |= known_files.TABLES_SQL
    own = (*changes.TABLES_SQL, *seals.TABLES_SQL)
    made |= {_name(sql): sql for sql in own if sql.startswith("CREATE TABLE")}
    return {name: sql.strip() for name, sql in made.items()}


@cache
def statements() -> dict[str, str]:
    """Return the statement of every index and trigger that the records have, by its name."""
    dialect = sqlite.dialect()
    made = [
        str(CreateIndex(one).compile(dialect=dialect))
        for table in all_tables()
        for one in sorted(table.indexes, key=lambda one: str(one.name))
    ]
    made += [sql for sql in changes.TABLES_SQL if sql.startswith("CREATE INDEX")]
    return {_name(sql): sql for sql in (*made, *changes.triggers_sql(), *seals.triggers_sql())}


@cache
def _of_index() -> dict[str, str]:
    return {_name(sql): sql for sql in index.statements()}


def _name(sql: str) -> str:
    """The name of what a statement of ours makes; they are plainly written, and each start reads them all."""
    words = sql.split(maxsplit=4)
    return words[3 if words[1] == "VIRTUAL" else 2]


def compare(connection: Connection, *, is_current: bool) -> SchemaFound:
    """Compare a file's schema with what this program made; reading it runs nothing of it.

    A connection that has compared it goes on with the schema it read then, until the file counts a change.
    """
    told = (connection.exec_driver_sql("PRAGMA schema_version").scalar_one(), is_current)
    known: tuple[object, SchemaFound] | None = connection.info.get(compare)
    if known is None or known[0] != told:
        known = connection.info[compare] = (told, _found_in(connection, is_current))
    return known[1]


def _found_in(connection: Connection, is_current: bool) -> SchemaFound:
    found = connection.exec_driver_sql("SELECT type, name, sql FROM sqlite_master").all()
    entries = tuple((str(kind), str(name), sql) for kind, name, sql in found)
    if is_current and digest_of(entries) == AS_MADE:
        return SchemaFound((), (), (), index_is_whole=True)
    return _compared(entries, is_current)


def digest_of(entries: Iterable[Entry]) -> str:
    """Return a digest of all that a schema holds, whatever the order it was made in."""
    told = sorted("\0".join(map(str, one)) for one in entries if not _is_behind_key(*one))
    # How many there are goes in as well: no NUL inside one of them can make two of it, unnoticed.
    return blake2b("\0".join([str(len(told)), *told]).encode(), digest_size=DIGEST_BYTES).hexdigest()


@lru_cache(maxsize=4)  # each transaction asks, and hardly any schema ever changes
def _compared(entries: tuple[Entry, ...], is_current: bool) -> SchemaFound:
    foreign: list[str] = []
    seen: set[str] = set()
    for kind, name, sql in entries:
        if _is_ours(kind, name, sql, is_current=is_current):
            seen.add(name)
        else:
            foreign.append(f"the {kind} {name}")
    return SchemaFound(
        foreign=tuple(foreign),
        missing_tables=tuple(sorted(set(_tables()) - seen)) if is_current else (),
        missing_derived=tuple(sorted(set(statements()) - seen)),
        index_is_whole={*_of_index(), *index.SHADOWS} <= seen,
    )


def _is_behind_key(kind: str, name: str, sql: str | None) -> bool:
    """Whether something is SQLite's own index behind a key of a table."""
    return sql is None and kind == "index" and name.startswith("sqlite_autoindex_")


def _is_ours(kind: str, name: str, sql: str | None, *, is_current: bool) -> bool:
    if sql is None:
        return _is_behind_key(kind, name, sql)
    if sql == (_tables().get(name) or statements().get(name) or _of_index().get(name)):
        return sql.split(maxsplit=2)[1].lower() in (kind, "virtual")
    words = words_of(sql)
    if kind == "table" and name in SQLITES_OWN:
        return parts_of_table(sql) in _STATISTICS
    if kind == "table" and name == VERSION_TABLE and not is_current:
        return parts_of_table(sql) in _VERSION_TABLES
    if kind not in ("table", "index", "trigger") or words[:3] != _head(kind, name, words):
        return False
    if kind == "table" and name in _tables():
        parts, expected = parts_of_table(sql), parts_of_table(_tables()[name])
        return parts == expected if is_current else parts <= expected | _LOOSENED.get(name, frozenset())
    if name.startswith(index.PREFIX):
        return _is_of_index(kind, name, sql, words, is_current=is_current)
    if name not in statements():
        return False
    return words == words_of(statements()[name]) or (kind == "trigger" and not is_current)


def _is_of_index(kind: str, name: str, sql: str, words: Words, *, is_current: bool) -> bool:
    if name in index.SHADOWS:
        return kind == "table" and parts_of_table(sql) == parts_of_table(index.SHADOWS[name])
    expected = _of_index().get(name)
    if not is_current and (kind in ("trigger", "index") or (name in _of_index() and words[1] == kind)):
        return True  # an older program's index was another one; it is dropped before anything asks it
    return expected is not None and words == words_of(expected)


def _head(kind: str, name: str, words: Words) -> Words:
    """How a statement that makes a thing of this name begins."""
    if words[1:2] == ("virtual",):
        return ("create", "virtual", "table") if words[3:4] == (name,) else ()
    made = words[2] if len(words) > 2 else ""
    return ("create", kind, made) if made in (name, f"'{name}'") else ()


_VERSION_TABLES = (  # as the program made it in a new book, and as a library did in one it brought up to date
    parts_of_table("CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL PRIMARY KEY)"),
    parts_of_table(
        "CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL,"
        " CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num))"
    ),
)


_LOOSENED = (
    dict.fromkeys(  # what older books ask of a column and this one does not: lines of plans have no date
        ("day_line", "loose_line"), parts_of_table("CREATE TABLE line (on_date DATE NOT NULL)")
    )
)


_STATISTICS = (
    parts_of_table("CREATE TABLE sqlite_stat1(tbl,idx,stat)"),
    parts_of_table("CREATE TABLE sqlite_stat4(tbl,idx,neq,nlt,ndlt,sample)"),
)


def named(foreign: tuple[str, ...]) -> str:
    """Return what is foreign in words, the first few by name."""
    shown = ", ".join(foreign[:LISTED])
    more = len(foreign) - LISTED
    return shown if more <= 0 else f"{shown} and {more} more"
