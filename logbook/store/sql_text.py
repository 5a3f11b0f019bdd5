"""SQL of a schema as words, so that two ways of writing the same thing down compare equal.

One surprising decision: a table is compared as the set of what stands between its commas. Columns that an
update added stand last and carry their reference with them; a new book has them elsewhere.
"""

import re
from collections.abc import Iterator

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
