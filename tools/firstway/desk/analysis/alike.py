"""Desk: papers with more wrong answers in common than chance explains.

Every pair of a class is looked at.

A class of 10,000 has 50 million pairs. Only those that could be named are worked out: for each
learner it is known how many shared answers the least likely of theirs would need, and pairs below
that are counted away together, a bit a learner.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from firstway.calculations.adding import added
from firstway.desk.analysis import statistics as figures

FEWEST_ALIKE = 5
"""Shared wrong answers below this are never named."""
WrongAnswers = Sequence[str]
"""The wrong answer to each question as a word two learners can share; "" where there is none."""


@dataclass(frozen=True)
class AlikePair:
    """Two learners by their places, the wrong answers they share, and the odds of that many or more
    by chance.
    """

    first: int
    second: int
    same: int
    odds: float


def alike_pairs(wrong: Sequence[WrongAnswers]) -> list[AlikePair]:
    """Pairs named in fewer than one class of a hundred by chance, after allowing for the number of
    pairs.
    """
    pairs = len(wrong) * (len(wrong) - 1) / 2
    if not pairs or not wrong[0]:
        return []
    spread = [_shares([row[place] for row in wrong]) for place in range(len(wrong[0]))]
    most_odds = figures.ALIKE_ODDS / pairs
    found = []
    for first, second in _candidates(wrong, spread, most_odds):
        same, odds = figures.likeness(wrong[first], wrong[second], spread)
        if odds < most_odds:
            found.append(AlikePair(first, second, same, odds))
    return found


def _shares(words: WrongAnswers) -> dict[str, float]:
    counts = Counter(word for word in words if word)
    whole = sum(counts.values())
    return {word: number / whole for word, number in counts.items()}


def _candidates(
    wrong: Sequence[WrongAnswers], spread: Sequence[Mapping[str, float]], most_odds: float
) -> Iterator[tuple[int, int]]:
    """Pairs that share as many wrong answers as either of them needs; none that could be named is
    left out.
    """
    chances = [added(share * share for share in shares.values()) for shares in spread]
    holders = [_holders([row[place] for row in wrong]) for place in range(len(chances))]
    for first, row in enumerate(wrong):
        places = [place for place, word in enumerate(row) if word]
        fewest = _fewest(sorted(chances[place] for place in places), most_odds)
        if fewest is None:
            continue
        after = -1 << (first + 1)  # each pair once: the learners after this one
        together = _at_least(fewest, [holders[place][row[place]] & after for place in places])
        yield from ((first, second) for second in _places_of(together))


def _fewest(chances: Sequence[float], most_odds: float) -> int | None:
    """How many shared answers could be named at all, given a learner's chances, the smallest first.

    Odds of `n` or more are at least those of the `n` least likely answers all being shared.
    """
    odds = 1.0
    for number, chance in enumerate(chances, 1):
        odds *= chance
        if odds < most_odds and number >= FEWEST_ALIKE:
            return number
    return None


def _holders(words: WrongAnswers) -> dict[str, int]:
    """For each word the learners who gave it, a bit a learner."""
    places: dict[str, list[int]] = {}
    for place, word in enumerate(words):
        if word:
            places.setdefault(word, []).append(place)
    found = {}
    for word, own in places.items():
        bits = bytearray(len(words) // 8 + 1)
        for place in own:
            bits[place >> 3] |= 1 << (place & 7)
        found[word] = int.from_bytes(bits, "little")
    return found


def _at_least(fewest: int, sets: Sequence[int]) -> int:
    """The learners that are in at least so many of the sets: all counted at once, in binary, a
    place of the number at a time.
    """
    digits: list[int] = []
    for each in sets:
        for place, digit in enumerate(digits):
            digits[place], each = digit ^ each, digit & each
            if not each:
                break
        else:
            if each:
                digits.append(each)
    more, equal = 0, -1
    for place in range(max(len(digits), fewest.bit_length()) - 1, -1, -1):
        digit = digits[place] if place < len(digits) else 0
        if fewest >> place & 1:
            equal &= digit
        else:
            more |= equal & digit
            equal &= ~digit
    return more | equal


def _places_of(bits: int) -> Iterator[int]:
    """The places of the bits that are set."""
    while bits > 0:
        lowest = bits & -bits
        yield lowest.bit_length() - 1
        bits ^= lowest
