"""Desk: what a class's marks say about the questions, and which papers are strangely alike.

Classical test theory; pure functions of marks. Every function takes plain numbers and gives None
where the figure is not defined (nobody, one learner, no spread). A list of marks holds one number a
learner, from 0 to what the question is worth. Variances divide by N, in both places of a
coefficient (mixing N and N - 1 gives a wrong reliability).

Every pair of a class is looked at for more wrong answers in common than chance explains. A class of
10,000 has 50 million pairs. Only those that could be named are worked out: for each learner it is
known how many shared answers the least likely of theirs would need, and pairs below that are
counted away together, a bit a learner.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from firstway.calculations.adding import added
from firstway.frozen import dataclass

Marks = Sequence[float]

UPPER_SHARE = 0.27
"""Share of the class in the upper and in the lower group (Kelley 1939; from memory)."""
FEWEST_LEARNERS = 30
"""Below this a figure about one question is too unsure to act on alone (common practice)."""
ALIKE_ODDS = 0.01
"""Two answer files are named when so much likeness, or more, would come by chance in fewer than one
class of a hundred."""


def mean(values: Marks) -> float | None:
    """The arithmetic mean."""
    return added(values) / len(values) if values else None


def variance(values: Marks) -> float | None:
    """The variance with divisor N."""
    if not values:
        return None
    middle = added(values) / len(values)
    return added((value - middle) ** 2 for value in values) / len(values)


def facility(marks: Marks, out_of: float) -> float | None:
    """Mean mark as a share of the whole: 0 nobody, 1 everybody."""
    middle = mean(marks)
    return None if middle is None or out_of <= 0 else middle / out_of


def correlation(first: Marks, second: Marks) -> float | None:
    """Pearson's r; None where one of the two does not vary."""
    a, b = mean(first), mean(second)
    if a is None or b is None or len(first) != len(second):
        return None
    together = added((x - a) * (y - b) for x, y in zip(first, second))
    spread = math.sqrt(added((x - a) ** 2 for x in first) * added((y - b) ** 2 for y in second))
    return together / spread if spread > 1e-12 else None


def corrected_point_biserial(marks: Marks, totals: Marks) -> float | None:
    """Correlation of a question with the total of all others: on a short test the only
    honest one.
    """
    return correlation(marks, [total - mark for mark, total in zip(marks, totals)])


def discrimination_index(
    marks: Marks, totals: Marks, out_of: float, share: float = UPPER_SHARE
) -> float | None:
    """Facility in the upper group less that in the lower.

    Learners tied at the cut share the places that are left.
    """
    size = math.floor(share * len(marks) + 0.5)
    if size < 1 or out_of <= 0:
        return None
    upper = _group_mean(marks, totals, size, highest=True)
    lower = _group_mean(marks, totals, size, highest=False)
    return (upper - lower) / out_of


def _group_mean(marks: Marks, totals: Marks, size: int, highest: bool) -> float:
    ranked = sorted(set(totals), reverse=highest)
    left, summed = float(size), 0.0
    for total in ranked:
        tied = [mark for mark, own in zip(marks, totals) if own == total]
        taken = min(left, len(tied))
        summed += taken * added(tied) / len(tied)
        left -= taken
        if left <= 0:
            break
    return summed / size


def alpha(questions: Sequence[Marks]) -> float | None:
    """Cronbach's alpha; equal to KR-20 where every mark is 0 or 1.

    `questions` holds one list of marks a question.
    """
    count = len(questions)
    if count < 2 or len(questions[0]) < 2:
        return None
    totals = [added(marks) for marks in zip(*questions)]
    whole = variance(totals)
    if not whole:
        return None
    return count / (count - 1) * (1 - added(variance(marks) or 0.0 for marks in questions) / whole)


def alpha_interval(
    value: float, learners: int, questions: int, confidence: float = 0.95
) -> tuple[float, float] | None:
    """Where alpha may lie (Feldt 1965: (1 - alpha) over its estimate follows an F distribution)."""
    if learners < 2 or questions < 2:
        return None
    tail = (1 - confidence) / 2
    first, second = learners - 1, (learners - 1) * (questions - 1)
    return 1 - (1 - value) * f_quantile(1 - tail, first, second), 1 - (1 - value) * f_quantile(
        tail, first, second
    )


def standard_error(questions: Sequence[Marks]) -> float | None:
    """Standard error of measurement of a total, in marks: the spread of the totals times sqrt(1 -
    alpha).
    """
    found = alpha(questions)
    if found is None:
        return None
    spread = variance([added(marks) for marks in zip(*questions)]) or 0.0
    return math.sqrt(spread * max(0.0, 1 - found))


def longer_by(value: float, wanted: float) -> float | None:
    """How many times as many questions of the same kind would bring alpha to `wanted` (Spearman and
    Brown).
    """
    return (
        wanted * (1 - value) / (value * (1 - wanted)) if 0 < value < 1 and 0 < wanted < 1 else None
    )


def thirds(totals: Marks) -> list[int]:
    """For each learner 0 (bottom), 1 (middle) or 2 (top third by total).

    Equal totals are never parted: the group of their middle place.
    """
    ranked = sorted(totals)
    group = {}
    for total in set(totals):
        first = ranked.index(total)
        middle = first + (ranked.count(total) - 1) / 2
        group[total] = min(2, int(3 * (middle + 0.5) / len(ranked)))
    return [group[total] for total in totals]


def chosen_by_thirds(chosen: Sequence[str], totals: Marks) -> dict[str, tuple[float, float, float]]:
    """For each answer given: its share in the bottom, middle and top third; "" stands for no
    answer.
    """
    groups = thirds(totals)
    sizes = [groups.count(place) for place in range(3)]
    given = Counter(zip(chosen, groups))

    def share(answer: str, third: int) -> float:
        return given[answer, third] / sizes[third] if sizes[third] else 0.0

    return {
        answer: (share(answer, 0), share(answer, 1), share(answer, 2))
        for answer in sorted(set(chosen))
    }


def likeness(
    first: Sequence[str], second: Sequence[str], wrong_shares: Sequence[Mapping[str, float]]
) -> tuple[int, float]:
    """Wrong answers two learners share, and the odds of that many or more by chance where both are
    wrong.

    `first` and `second` hold a wrong answer for each question, "" where the learner was right,
    silent, or asked with other figures. `wrong_shares` gives for each question how the class's
    wrong answers spread.
    """
    both = [place for place, (one, other) in enumerate(zip(first, second)) if one and other]
    same = sum(1 for place in both if first[place] == second[place])
    chances = [added(share * share for share in wrong_shares[place].values()) for place in both]
    return same, at_least(same, chances)


def at_least(count: int, chances: Sequence[float]) -> float:
    """The probability of `count` or more among independent events with these chances."""
    exactly = [1.0]
    for chance in chances:
        nexts = [value * (1 - chance) for value in exactly] + [0.0]
        for place, value in enumerate(exactly):
            nexts[place + 1] += value * chance
        exactly = nexts
    return min(1.0, added(exactly[count:]))


def f_quantile(probability: float, first: float, second: float) -> float:
    """The value below which an F distribution with these degrees of freedom lies with the
    probability (by halving).
    """
    low, high = 0.0, 1.0
    while f_below(high, first, second) < probability:
        high *= 2
    for _ in range(200):
        middle = (low + high) / 2
        if f_below(middle, first, second) < probability:
            low = middle
        else:
            high = middle
        if high - low <= 1e-13 * high:
            break
    return (low + high) / 2


def f_below(value: float, first: float, second: float) -> float:
    """The probability that an F distribution lies below `value`."""
    if value <= 0:
        return 0.0
    return _incomplete_beta(first * value / (first * value + second), first / 2, second / 2)


def _incomplete_beta(x: float, a: float, b: float) -> float:
    """The regularised incomplete beta function by its continued fraction (modified Lentz)."""
    if x <= 0 or x >= 1:
        return float(x >= 1)
    if x > (a + 1) / (a + b + 2):
        return 1 - _incomplete_beta(1 - x, b, a)
    front = (
        math.exp(
            math.lgamma(a + b)
            - math.lgamma(a)
            - math.lgamma(b)
            + a * math.log(x)
            + b * math.log1p(-x)
        )
        / a
    )
    tiny = 1e-300
    fraction, c, d = 1.0, 1.0, 0.0
    for step in range(0, 1000):
        half = step // 2
        if step == 0:
            part = 1.0
        elif step % 2 == 0:
            part = half * (b - half) * x / ((a + 2 * half - 1) * (a + 2 * half))
        else:
            part = -(a + half) * (a + b + half) * x / ((a + 2 * half) * (a + 2 * half + 1))
        d = 1 + part * d
        d = 1 / (d if abs(d) > tiny else tiny)
        c = 1 + part / (c if abs(c) > tiny else tiny)
        fraction *= c * d
        if abs(1 - c * d) < 1e-15:
            break
    return front * (fraction - 1)


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
    most_odds = ALIKE_ODDS / pairs
    found = []
    for first, second in _candidates(wrong, spread, most_odds):
        same, odds = likeness(wrong[first], wrong[second], spread)
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
