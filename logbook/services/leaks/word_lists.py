"""What the words of a name may also mean: things that everybody calls so, little words, other abbreviations.

One surprising decision: the lists are this search's own. Were they those of the striking, a word that is
missing there would be missed here too.
"""

from importlib.resources import files

from logbook.services.leaks.words import name_words

_LISTS = (files("logbook.services.leaks") / "ordinary.txt").read_text(encoding="utf-8")
_LINES = [line for line in _LISTS.splitlines() if not line.startswith("#")]

ORDINARY = frozenset(name_words(" ".join(_LINES[2:])))  # alone they name no place and no person
JOINING = frozenset(name_words(_LINES[0]))  # they only join the words of a name
CODES = frozenset(_LINES[1].split())  # capitals that stand for something else on a photographer's page
