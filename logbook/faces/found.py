"""What was found, as a person reads it: by trip and site, the words that matched in bold or in brackets."""

import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from textwrap import TextWrapper
from typing import TYPE_CHECKING, Any

from logbook.faces.terminal import PROSE_WIDTH, answer, clean

if TYPE_CHECKING:
    from logbook.services.find.reading import QuestionRead
    from logbook.services.find.searching import Answer, Parts
    from logbook.services.find.synonyms import Synonyms
    from logbook.store.text_index.asking import FoundDocument

_MARKS = ("\x02", "\x03")  # as the index gives them
_HELD = ("\ue000", "\ue001")  # stand in for them while lines are broken
SNIPPET_INDENT = "      "
TITLE_LENGTH = 70  # characters of a text that serves as a title
NOUN_WORDS = {"loose_line": "to sort out"}


def found_json(answer_given: "Answer") -> dict[str, Any]:
    """The answer with stable keys; snippets and titles carry no marks."""
    return {
        "reading": _reading_json(answer_given),
        "results": [
            {
                "kind": one.kind,
                "id": one.record_id,
                "slug": one.slug,
                "trip": one.trip,
                "site": one.site,
                "date": one.on_date,
                "title": title_of(one),
                "snippet": " ".join(_unmarked(one.snippet).split()),
                "score": round(one.score, 4),
                "whole": whole,
                "matched": _parts(answer_given, one, "has"),
                "contradicted": _parts(answer_given, one, "against"),
            }
            for whole, found in ((True, answer_given.results), (False, answer_given.nearest))
            for one in found
        ],
        "more": answer_given.more,
        "near_words": list(answer_given.near_words),
    }


def _parts(given: "Answer", one: "FoundDocument", which: str) -> list[str] | None:
    """The parts of the question that a record has, or contradicts, as typed; null where it answers whole."""
    parts = given.parts.get(one.record_id)
    return None if parts is None else list(getattr(parts, which))


def _reading_json(given: "Answer") -> dict[str, Any]:
    return {
        "facts": [{"typed": term.typed, "read_as": term.says} for term in given.reading.facts],
        "words": [{"typed": term.typed, "read_as": term.says} for term in given.reading.words],
        "left_out": list(given.reading.left_out),
        "limits": list(given.limits.says),
        "days": given.reading.says_days,
        "let_go": list(given.let_go),
        "text": reading_text(given.reading, given.limits.says),
    }


def reading_text(reading: "QuestionRead", limits: Sequence[str] = ()) -> str:
    """How a question was read, in one line."""
    facts = [*([reading.says_days] if reading.says_days else []), *(term.says for term in reading.facts)]
    parts = [", ".join(facts)] if facts else []
    if reading.words:
        parts.append("words: " + ", ".join(term.says for term in reading.words))
    if limits:
        parts.append("only: " + ", ".join(limits))
    return "Read as: " + "; ".join(parts) + "." if parts else "There is nothing to search for in that."


def title_of(one: "FoundDocument") -> str:
    """The title of a record, or the beginning of its text."""
    title = " ".join(_unmarked(one.title).split())
    return title or _short(" ".join(_unmarked(one.snippet).split()))


def show_found(given: "Answer") -> None:
    """Print the answer: how it was read, then the groups, the best first."""
    lines: list[str] = _wrapped(clean(reading_text(given.reading, given.limits.says)))
    lines += _grouped(given.results)
    if given.nearest:
        lines += ["", *_wrapped(clean(nearest_words(given)))]
        lines += _grouped(given.nearest, given.parts)
    if given.more:
        more = "There are more results; raise --limit to see them, or narrow the search with"
        lines += ["", *_wrapped(f"{more} --trip, --site or --in.")]
    _print(lines)


def nearest_words(given: "Answer") -> str:
    """Return what stands above what has only parts of a question."""
    nothing = "Nothing else" if given.results else "Nothing"
    without = f", without {', '.join(given.let_go)}" if given.let_go else ""
    return f"{nothing} matches all you asked for. The nearest{without}:"


def nothing_words(given: "Answer") -> str:
    """Return what to say where nothing was found; nothing where something was."""
    if given.near_words:
        return f"Nothing was found; the book does have {', '.join(given.near_words)}."
    if not (given.results or given.nearest):
        return "Nothing was found; try fewer words, or the start of one with a star: dun*."
    return ""


def own_synonyms(book: Path) -> "Synonyms":
    """Return words for the same thing, with the person's own: in the settings folder, and beside the book."""
    from platformdirs import user_config_path

    from logbook.services.find.synonyms import synonyms_with

    own = (user_config_path("logbook", appauthor=False) / "words.txt", book.with_suffix(".words.txt"))
    return synonyms_with(own)


def pieces_of(text: str) -> list[tuple[str, bool]]:
    """Return a text of a result in pieces, in turn between and within what matched."""
    return _pieces(_held(" ".join(text.split())))


def _grouped(results: Sequence["FoundDocument"], parts: Mapping[str, "Parts"] | None = None) -> list[str]:
    """The lines of results, under headings; of those that have only parts, which."""
    lines: list[str] = []
    for heading, group in groups_of(results):
        lines += ["", *_wrapped(clean(heading))]
        for one in group:
            lines += _result(one)
            if parts is not None:
                lines += _wrapped(clean(parts_text(parts[one.record_id])), SNIPPET_INDENT, SNIPPET_INDENT)
    return lines


def parts_text(parts: "Parts") -> str:
    """Which parts of a question a record has, and which it contradicts, in one line."""
    has = f"has {', '.join(parts.has)}" if parts.has else ""
    return "; ".join(filter(None, (has, f"contradicts {', '.join(parts.against)}" if parts.against else "")))


def groups_of(results: Sequence["FoundDocument"]) -> list[tuple[str, list["FoundDocument"]]]:
    """Return results by trip and site, in the order of each group's best."""
    groups: dict[str, list[FoundDocument]] = {}
    for one in results:
        heading = (
            " · ".join(filter(None, (one.trip_title, one.site_title))) or "Not tied to one trip or place"
        )
        groups.setdefault(heading, []).append(one)
    return list(groups.items())


def _result(one: "FoundDocument") -> list[str]:
    noun = NOUN_WORDS.get(one.kind, one.kind)
    name = " ".join(filter(None, (noun, one.slug, None if one.slug and one.on_date is None else one.on_date)))
    snippet = _held(" · ".join(part.strip() for part in one.snippet.split("\n") if part.strip()))
    title = _held(" ".join(one.title.split()))
    lines = _wrapped(clean(name), "  ", "    ")
    if title and title != one.on_date:
        lines += _wrapped(title, "    ", "    ")
    return lines + _wrapped(snippet, SNIPPET_INDENT, SNIPPET_INDENT)


def _wrapped(text: str, first: str = "", rest: str = "") -> list[str]:
    """Text in lines that fit, broken between words only: a name with hyphens is one word."""
    return TextWrapper(
        PROSE_WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False
    ).wrap(text)


def _held(text: str) -> str:
    """Text without control characters, its marks kept as characters that lines can be broken around."""
    for mark, held in zip(_MARKS, _HELD, strict=True):
        text = text.replace(held, "").replace(mark, held)
    return clean(text)


def _pieces(held: str) -> list[tuple[str, bool]]:
    parts = held.replace(_HELD[1], _HELD[0]).split(_HELD[0])
    return [(part, bool(number % 2)) for number, part in enumerate(parts) if part]


def _unmarked(text: str) -> str:
    return text.replace(_MARKS[0], "").replace(_MARKS[1], "")


def _short(text: str) -> str:
    return text if len(text) <= TITLE_LENGTH else text[:TITLE_LENGTH].rpartition(" ")[0] + "…"


def _print(lines: Sequence[str]) -> None:
    text = "\n".join(lines)
    if not sys.stdout.isatty():
        answer(text.replace(_HELD[0], "[").replace(_HELD[1], "]"))
        return
    from rich.console import Console
    from rich.text import Text

    shown = Text()
    for part, is_match in _pieces(text):
        shown.append(part, style="bold" if is_match else None)
    Console(highlight=False).print(shown)
