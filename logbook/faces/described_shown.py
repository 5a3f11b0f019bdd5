"""A place described in words: how they were read, and whether a wish comes off there."""

from typing import TYPE_CHECKING, Any

from logbook.domain.errors import InvalidValueError, WrongUseError
from logbook.faces import measured, typed
from logbook.faces.found import own_synonyms
from logbook.faces.reached import reach_json, show_choices
from logbook.faces.terminal import answer, answer_prose, say
from logbook.faces.words.phrases import listed

if TYPE_CHECKING:
    from logbook.services.described import Described, WishJudged
    from logbook.store.book import Book

SUCH_AS = (
    'the kind, footing, crowd, wind, water, light, access or month, such as "crowded harbour, no tripod"'
)


def place_in_words(book: "Book", text: str, site: str | None) -> "Described":
    """Return the place that words describe; InvalidValueError where they say nothing that is compared."""
    from logbook.services.described import described

    if site is not None:
        raise WrongUseError("Give either a SITE in the book or --like, not both.")
    place = described(text, own_synonyms(book.path))
    if not place.traits:
        raise InvalidValueError(f'Nothing in "{text}" can be compared between sites; describe {SUCH_AS}.')
    return place


def asked_there(
    place: "Described | None",
    wish: str | None,
    f_number: str | None,
    iso: str | None,
    focal: str | None,
    support: str | None,
    scene_ev: float | None,
    owned: str | None,
) -> "WishJudged | None":
    """Return what a wish comes to at a described place; None without one."""
    if wish is None:
        if any(one is not None for one in (f_number, iso, focal, support, scene_ev, owned)):
            raise WrongUseError("These settings go with a --wish, such as --wish 1s with --like TEXT.")
        return None
    if place is None:
        raise WrongUseError('A --wish goes with a place described by --like; for a site, use "before".')
    from logbook.services.described import WishThere, judged_there

    needed_f = measured.needed(f_number, "--f-number", "16")
    at_hand = measured.filters(measured.needed(owned, "--owned", "nd8,nd64"))
    if at_hand is None or scene_ev is None:
        raise WrongUseError("A wish needs the light and the filters at hand: --ev 15 --owned nd8,nd64.")
    read = typed.settings(focal=focal, f_number=needed_f, exposure=wish, iso=iso)
    more: dict[str, Any] = {name: read[name] for name in ("iso", "focal_mm") if name in read}
    wanted = WishThere(
        read["exposure_s"], read["f_number"], scene_ev, at_hand, support=typed.support(support), **more
    )
    with measured.plainly():
        return judged_there(wanted, forbids_tripod=place.forbids_tripod)


def described_json(place: "Described", asked: "WishJudged | None") -> dict[str, Any]:
    """Return how the words were read, and what the wish comes to, as JSON."""
    wish: dict[str, Any] | None = None
    if asked is not None:
        wish = {"verdict": str(asked.verdict), "why": asked.reason, "support": asked.support}
        wish["reach"] = reach_json(asked.reach)
    return {"read": list(place.read), "not_compared": list(place.not_compared), "wish": wish}


def show_described(place: "Described", asked: "WishJudged | None") -> None:
    """Print how the words were read, and whether the wish comes off."""
    say(f"Read as {listed(list(place.read))}.")
    if place.not_compared:
        say(f"Not compared between sites: {listed(list(place.not_compared))}.")
    if asked is not None:
        answer_prose(f"Your wish there: {asked.verdict} ({asked.reason}).")
        show_choices(asked.reach)
        answer("")
