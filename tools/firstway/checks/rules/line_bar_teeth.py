"""Each tooth of a line bar for several lines meets a device on its own line.

Why: the lines of such a bar repeat in one order all along it. A device of one module too many or
too few before it moves all that follow to another line: the load is not where it was counted, and
two circuits that share a line overload it.
A pass: a device for L2 under a tooth of L2. A fail: the same device under a tooth of L1.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.layout.plan import LineBar
from firstway.model.evidence import note
from firstway.model.values import is_known, key_of

RULE = Rule(
    "line-bar-teeth",
    "Each tooth of the line bar meets its line",
    "counting teeth along the bar; BS 7671 134.1.1; IEC 60364-5-51 510.3",
    "; 2018+A3:2024; 2005",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    bar = case.installation.board.busbar
    lines = key_of(bar, "lines")
    if is_known(lines) and len(lines) < 2 or case.installation.supply.phases < 2:
        return
    if not is_known(lines) or not is_known(key_of(bar, "pitch_mm")):
        ask = "which lines the bar carries, and how far apart its teeth stand; look at it"
        yield RULE.does_not_know(case, "board", "board", ask)
        return
    if case.plan.refused:
        yield RULE.does_not_know(case, "board", "board", f"{case.plan.refused}: look at the bar")
        return
    layout = case.plan.layout
    for way in case.installation.board.ways:
        key_of(way, "modules")  # a blank moves what stands behind it too
    # what stands before a device moves it along the bar; an electrode's lead does not
    note(*(path for path in layout.rests_on if path.startswith(("board.", "circuits."))))
    made = layout.parts.line_bar
    if made is not None:
        yield from _of_bar(case, made)


def _of_bar(case: Case, bar: LineBar) -> Findings:
    wrong = [
        (tooth.terminal, tooth.line, wanted)
        for tooth in bar.teeth
        if (wanted := _line_of(case, tooth.terminal)) and tooth.line != wanted
    ]
    for terminal, found, wanted in wrong:
        yield RULE.says(
            case,
            "fail",
            terminal.partition(".")[0],
            terminal,
            f"the tooth that meets {terminal} carries {found or 'no line'}: as the bar's lines"
            " repeat, the device stands in another place than it was counted for",
            found,
            wanted,
        )
    if not wrong:
        words = "every tooth carries the line of the device it meets"
        yield RULE.passes(case, "board", "board", words)


def _line_of(case: Case, terminal: str) -> str:
    own = case.wiring.terminal(terminal) if terminal else None
    return str(own.function) if own and own.function.startswith("L") else ""
