"""Prints what survives, what the search for leaks does not find, and what harmless texts lose."""

import argparse
import random
import sys
import tempfile
from pathlib import Path

from tests.trials.planting.trial import run, striking_alone


def tell(line: str) -> None:
    sys.stdout.write(f"{line}\n")


def main() -> None:
    """Run one trial and print its figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--forms", type=int, default=200, help="of names, of positions, and harmless texts")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--striking-alone", action="store_true", help="in seconds, without building anything")
    asked = parser.parse_args()
    if asked.striking_alone:
        with tempfile.TemporaryDirectory() as folder:
            left, words, lost = striking_alone(asked.forms, random.Random(asked.seed), Path(folder) / "trial")
        tell(f"{2 * asked.forms} forms and notations: {len(left)} survived {left[:10]}")
        tell(f"{words} harmless words: {lost} lost")
        return
    with tempfile.TemporaryDirectory() as folder:
        result = run(asked.forms, random.Random(asked.seed), Path(folder) / "trial")
    for what, pieces, first in (
        ("forms of names", result.forms, 0),
        ("notations of positions", result.notations, len(result.forms)),
    ):
        survived = result.survived(pieces, first)
        tell(f"{len(pieces)} {what}: {len(survived)} survived")
        for text, files in survived:
            tell(f"    {text!r} in {', '.join(sorted(files)[:4])}")
    tell(f"unstruck, {len(result.unfound)} of {len(result.forms) * 2} are not found by the search for leaks")
    for piece in result.unfound:
        tell(f"    {piece.text!r}")
    tell(f"{result.words} harmless words: {sum(result.lost.values())} lost ({100 * result.share_lost:.2f} %)")
    tell(f"    {', '.join(f'{word} {count}' for word, count in result.lost.most_common(20))}")
    tell(f"harmless texts for which a report or an export is refused: {len(result.refused)}")
    for leak in result.refused[:10]:
        tell(f"    {leak.file}: {leak.what} {leak.hint} {'; '.join(map(str, leak.origins[:2]))}")


if __name__ == "__main__":
    main()
