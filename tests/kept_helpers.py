"""Helper processes that outlive what they were started for: the next report of this process asks them again.

The program ends its helpers with each piece of work. In the tests that would be thousands of Python processes
that read the picture libraries for one small picture each. `tests/intake/test_workers.py` tries them as they
are.
"""

import subprocess
from collections.abc import Callable
from typing import Any

from logbook.intake import workers

_idle: list["subprocess.Popen[bytes]"] = []  # they end when this process does, as their input then ends


class KeptHelper(workers._Helper):
    """A helper whose process is taken from those that are idle, and put back unless it is at work."""

    _works = False

    def ask(self, work: Callable[[Any], Any], item: object) -> Any:
        if self._process is None and _idle:
            self._process = _idle.pop()
        self._works = True
        try:
            return super().ask(work, item)
        finally:
            self._works = False

    def end(self) -> None:
        if not self._works and self._process is not None:
            self._over = True
            _idle.append(self._process)
            self._process = None
        super().end()
