"""Somebody at the keyboard or the pointer, counted by the keystroke-level model.

Authority: Card, Moran and Newell, "The keystroke-level model for user performance time with interactive
systems", Communications of the ACM 23 (1980), 396-410: K 0.28 s (an average typist; a click is a K too),
P 1.1 s, H 0.4 s, M 1.35 s. The system's own time is left out; what an act takes of it is measured elsewhere.

Where M stands: before every act, as each is one decision (their rule 0); before every run of moves that looks
for the next place, by keys (`n n j j`) or by the wheel; and before words of one's own, which have to be
found. Keys of one unit, such as `s t` for support, tripod, have one M (their rule 2). A turn of the wheel by
600 pixels counts as a K. Letters, the Enter behind them and every single key count one K each.
"""

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

K_S, P_S, H_S, M_S = 0.28, 1.1, 0.4, 1.35
WHEEL_PX = 600


@dataclass
class Person:
    """Whoever sits there; `acts` are what was done, by name."""

    page: "Page"
    at_keys: bool = True
    seconds: float = 0.0
    acts: list[str] = field(default_factory=list)

    def act(self, name: str) -> None:
        """Begin an act: one decision."""
        self.acts.append(name)
        self.seconds += M_S

    def move(self, *keys: str) -> None:
        """Look for the next place by keys."""
        self.seconds += M_S
        self._press(*keys)

    def press(self, *keys: str) -> None:
        """Press keys that belong to the act."""
        self._press(*keys)

    def write(self, words: str) -> None:
        """Type words of one's own and Enter."""
        self.seconds += M_S
        self._hand(to_keys=True)
        self.page.keyboard.type(words)
        self.seconds += K_S * len(words)
        self._press("Enter")
        self.settle()

    def click(self, where: "Locator") -> None:
        """Point at something and click; what is out of sight is looked for by the wheel first."""
        self._hand(to_keys=False)
        self._into_sight(where)
        where.click()
        self.seconds += P_S + K_S

    def settle(self) -> None:
        """Wait until the page has answered."""
        self.page.locator("form[aria-busy]").wait_for(state="detached")

    def _press(self, *keys: str) -> None:
        self._hand(to_keys=True)
        for key in keys:
            self.page.keyboard.press(key)
            self.seconds += K_S
            self.settle()

    def _hand(self, *, to_keys: bool) -> None:
        if self.at_keys is not to_keys:
            self.at_keys = to_keys
            self.seconds += H_S

    def _into_sight(self, where: "Locator") -> None:
        turns = 0
        while turns < 40 and (by := self._out_of_sight_px(where)):
            self.page.mouse.wheel(0, WHEEL_PX if by > 0 else -WHEEL_PX)
            self.page.wait_for_timeout(60)
            turns += 1
        self.seconds += K_S * turns + (M_S if turns else 0)

    def _out_of_sight_px(self, where: "Locator") -> float:
        box = where.bounding_box()
        assert box is not None, f"{where} is not drawn"
        size = self.page.viewport_size
        assert size is not None
        shelf_px = 80
        if box["y"] < shelf_px:
            return box["y"] - shelf_px
        return max(0.0, box["y"] + box["height"] - size["height"])
