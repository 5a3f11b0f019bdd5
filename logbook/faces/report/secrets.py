"""What must not be in a report for somebody else: names, places, files, people and machines.

One surprising decision: what the program itself writes on every page ("May", "Bridge") is no secret, although
a withheld place or a private person may be called so; the words of the pages cannot be told apart from it.
"""

import ast
import re
from calendar import day_name, month_abbr, month_name
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from logbook.domain.account import TripAccount
from logbook.domain.discretion.shown import hidden_positions
from logbook.domain.site import Site
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import Audience, Disclosure
from logbook.faces.report.privacy import PageDiscretion, pattern_of
from logbook.faces.report.prose import plain
from logbook.intake.private_tags import private_values

FEWEST = 5  # characters; a shorter serial or software text would be found in any page
_COUNTED = re.compile(r"\d{3,}")  # a file name with a camera's counter in it is no ordinary words


@dataclass(frozen=True, slots=True)
class Secrets:
    """All that a report must not hold."""

    names: Mapping[re.Pattern[str], str]  # a name as it may be spelled: what it is
    texts: Mapping[str, str]  # a text in lower case, found at word boundaries: what it is
    hashes: frozenset[str]  # beginnings of the originals' hashes
    positions: tuple[tuple[float, float], ...]  # without sign: latitude, longitude in degrees
    shown: tuple[tuple[float, float], ...]  # positions that may be shown exactly


HASH_BEGINS = 12  # hexadecimal digits that tell an original apart


def secrets_of(account: TripAccount, audience: Audience) -> Secrets:
    """Return what an audience must not find in a report of this account, with what its originals tell."""
    say = PageDiscretion(account, audience)
    places: list[Site | Viewpoint] = [*account.sites.values(), *account.viewpoints.values()]
    withheld = {name for p in places if say.shown(p) is Disclosure.WITHHELD for name in (p.title, p.slug)}
    withheld |= {k.place.partition(",")[0] for k in account.keepers if k.place and say.hides(k.viewpoint_id)}
    shown = [p.position for p in places if say.shown(p) is Disclosure.EXACT and p.position]
    named = {**dict.fromkeys(account.trip.private_names, "the name of a private person")}
    named |= dict.fromkeys([*sorted(withheld), *account.withheld_names], "the name of a withheld place")
    return Secrets(
        names={pattern: what for name, what in named.items() if (pattern := pattern_of([name]))},
        texts=dict(_texts(account)),
        hashes=frozenset(one.hash[:HASH_BEGINS].lower() for one in account.keepers),
        positions=tuple(
            dict.fromkeys((abs(one.latitude_deg), abs(one.longitude_deg)) for one in hidden_positions(say))
        ),
        shown=tuple((abs(one.latitude_deg), abs(one.longitude_deg)) for one in shown),
    )


def _texts(account: TripAccount) -> Iterator[tuple[str, str]]:
    """File names, folders and what the originals tell, unless the trip itself states it for showing."""
    trip = account.trip
    stated = [
        trip.credit,
        trip.rights,
        trip.client,
        trip.title,
        *(item.title for item in account.kit.values()),
    ]
    stated += [text for one in account.keepers for text in (one.body, one.lens)]
    said = plain("\n".join(filter(None, stated))).casefold()
    for keeper in account.keepers:
        path = Path(keeper.path)
        counted = len(path.stem) > FEWEST and _COUNTED.search(path.stem)
        yield plain(path.stem if counted else path.name).casefold(), "the file name of an original"
        if len(path.parts) > 2:  # more than the root and the file
            yield plain(str(path.parent)).casefold(), "the folder of an original"
        for value in private_values(path):
            text = plain(value.text).casefold()
            if len(text) >= FEWEST and text not in said:
                yield text, f"the {value.kind} in an original"


@cache
def own_words() -> str:
    """Return what the program writes on pages by itself: its templates and the texts in the code behind them.

    The commands are left out: their examples name places of the sample trip, which may be withheld.
    """
    here = Path(__file__).parents[2]
    templates = next(p for p in (here / "_templates", here.parent / "templates") if p.is_dir())
    texts = [path.read_text(encoding="utf-8") for path in sorted((templates / "report").iterdir())]
    for room in ("faces/report", "services", "domain", "craft"):
        for path in sorted((here / room).rglob("*.py")):
            if path.parent.name == "discretion":
                continue  # its lists of words are read, never written on a page
            tree = ast.parse(path.read_text(encoding="utf-8"))
            docs = {
                id(node.body[0].value)
                for node in ast.walk(tree)
                if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
                and node.body
                and isinstance(node.body[0], ast.Expr)
            }
            texts += [
                node.value
                for node in ast.walk(tree)
                if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs
            ]
    return "\n|x|\n".join([*texts, *month_name, *month_abbr, *day_name])
