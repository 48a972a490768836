"""The labels and the chart of the board are there.

Why: whoever comes next, at night or after a fire, knows the board by its labels alone: what is
live, which device is for what, which button the user presses, when it is to be looked at again.
A pass: a warning, a chart, the notice at the residual current device, the day of the next
inspection. Advice: a board with none, as many have that somebody else fitted.
"""

from collections.abc import Iterable, Iterator

from firstway.checks.rule import Case, Findings, Rule
from firstway.model.installation import Installation
from firstway.model.values import NONE, is_known

RULE = Rule(
    "labels-there",
    "The labels of the board are there",
    "BS 7671 514.9.1, 514.11, 514.12.1, 514.12.2; IEC 60364-5-51 514; NFPA 70 408.4",
    "2018+A3:2024; 2005; 2020",
    "advice",
    ("bs7671", "iec60364", "nec"),
)
# Of a word of the key what is said of it.
_WORDS = {
    "warning": "the warning of live parts",
    "chart": "the chart of the circuits",
    "devices-marked": "what each device is for",
    "test-button": "the notice to press the test button",
    "next-inspection": "the day of the next inspection",
    "fed-from": "what feeds the board",
}


def check(case: Case) -> Findings:
    board = case.installation.board
    wanted = tuple(_wanted(case.installation))
    there = () if board.labels == NONE else board.labels
    if not is_known(there):
        yield RULE.does_not_know(
            case, "board", "board", "which labels the board has; look at it", _list(wanted)
        )
        return
    missing = [each for each in wanted if each not in there]
    yield RULE.decides(
        case,
        "board",
        "board",
        not missing,
        found=_list(there) or "none",
        wanted=_list(wanted),
        holds="the labels that the board needs are there",
        breaks=f"missing at the board: {_list(_WORDS[each] for each in missing)}; put them up",
    )


def _wanted(installation: Installation) -> Iterator[str]:
    """What the rule set asks at this board; the international rules leave most to the country."""
    yield "chart"
    yield "devices-marked"
    if installation.rules == "nec":
        yield "fed-from"
    if installation.rules == "bs7671":
        yield "warning"
        yield "next-inspection"
        if any(way.device in ("rcbo", "rcd") for way in installation.board.ways):
            yield "test-button"


def _list(words: Iterable[str]) -> str:
    return ", ".join(words)
