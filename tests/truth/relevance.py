"""How good a ranked answer is: discounted cumulated gain and recall.

Source: K. Järvelin, J. Kekäläinen, Cumulated gain-based evaluation of IR techniques, ACM Transactions on
Information Systems 20 (4), 2002: gains are the grades themselves, discounted from rank b = 2 on by log2 of
the rank, and divided by what the ideal order of the judged answers would have.
"""

from collections.abc import Mapping, Sequence
from itertools import accumulate
from math import log2


def dcg(gains: Sequence[float]) -> list[float]:
    """The discounted cumulated gain at each rank, beginning with the first."""
    return list(accumulate(gain / max(1.0, log2(rank)) for rank, gain in enumerate(gains, start=1)))


def ndcg_at(ranked: Sequence[str], grades: Mapping[str, int], rank: int) -> float:
    """The normalised gain of the first answers, 0 to 1."""
    gains = [float(grades.get(name, 0)) for name in ranked[:rank]]
    ideal = sorted((float(grade) for grade in grades.values()), reverse=True)[:rank]
    return dcg(gains)[-1] / dcg(ideal)[-1] if gains else 0.0


def recall_at(ranked: Sequence[str], grades: Mapping[str, int], rank: int, relevant: int = 2) -> float:
    """The share of what is relevant (of that grade at least) among the first answers; of no more than fit."""
    wanted = {name for name, grade in grades.items() if grade >= relevant}
    return len(wanted & set(ranked[:rank])) / min(rank, len(wanted))
