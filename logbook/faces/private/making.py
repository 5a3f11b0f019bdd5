"""Small pictures made in the background, those that somebody waits for first.

One surprising decision: one thread makes them all, a batch at a time, and the decoding is done by helper
processes; a page never waits for a picture that it does not show.
"""

from collections.abc import Iterable
from functools import partial
from pathlib import Path
from threading import Condition, Thread

from logbook.domain.keeper import Keeper
from logbook.services.keepers.thumbnails import Thumbnails

BATCH = 8  # pictures that are made before somebody else's wish is looked at
WAIT_S = 20.0  # for a picture that a page asks for; afterwards the page shows its name

_Wish = tuple[str, int]  # a keeper's id and a width


class PictureMaker:
    """A queue of wanted pictures, and what became of them."""

    def __init__(self, thumbnails: Thumbnails) -> None:
        """Begin to wait for wishes."""
        self._thumbnails = thumbnails
        self._wanted: dict[_Wish, Keeper] = {}  # in their order; what is asked for goes to the front
        self._refused: dict[_Wish, str] = {}
        self._state = Condition()
        Thread(target=self._work, name="pictures", daemon=True).start()

    def wish(self, keepers: Iterable[Keeper], width_px: int) -> None:
        """Ask for pictures that a page will show, as soon as nobody waits for others."""
        with self._state:
            for keeper in keepers:
                if self._thumbnails.of(keeper, width_px) is None:
                    self._wanted.setdefault((keeper.id, width_px), keeper)
            self._state.notify_all()

    def get(self, keeper: Keeper, width_px: int) -> Path | str:
        """Return a picture's file, made now or once before, or why there is none."""
        if (found := self._thumbnails.of(keeper, width_px)) is not None:
            return found
        wish = (keeper.id, width_px)
        with self._state:
            self._refused.pop(wish, None)
            self._wanted = {wish: keeper} | {key: one for key, one in self._wanted.items() if key != wish}
            self._state.notify_all()
            self._state.wait_for(lambda: wish not in self._wanted, WAIT_S)
            why = self._refused.get(wish, "it is still being made")
        return self._thumbnails.of(keeper, width_px) or self._thumbnails.kept(keeper, width_px) or why

    def _work(self) -> None:
        while True:
            with self._state:
                self._state.wait_for(lambda: bool(self._wanted))
                width_px = next(iter(self._wanted))[1]
                batch = [one for (_, width), one in self._wanted.items() if width == width_px][:BATCH]
            try:
                self._thumbnails.make(batch, width_px, partial(self._made, width_px))
            except Exception as error:  # a full disk, a helper that cannot be started: the page says so
                for keeper in batch:
                    self._made(width_px, keeper, f"it cannot be made ({error})")

    def _made(self, width_px: int, keeper: Keeper, why: str) -> None:
        wish = (keeper.id, width_px)
        with self._state:
            if wish in self._wanted:
                del self._wanted[wish]
            if why:
                self._refused[wish] = why
            self._state.notify_all()
