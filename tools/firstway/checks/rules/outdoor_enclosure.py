"""What stands outdoors keeps rain out.

Why: water in a charging point or a board leaks to earth, corrodes and trips. The clause on points
outdoors was not confirmed; at least IP44 is held from memory. Its place should also guard it
against knocks.
A pass: IP54. Advice: IP42. A digit replaced by X: not known.
"""

import re

from firstway.checks.rule import Case, Finding, Findings, JudgedFigure, Rule, of_table
from firstway.model.installation import Trade
from firstway.model.values import is_known, key_of
from firstway.tables.reading import rule_limit

RULE = Rule(
    "outdoor-enclosure",
    "What stands outdoors keeps rain out",
    "common practice; the clause in Section 722 was not confirmed",
    "",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    least = of_table(rule_limit("bs7671", "outdoor-ip-at-least"))
    for point in case.each(case.installation.charging_points):
        if point.location == "outdoors":
            yield _of(case, point.name, point.ip, least)
    board = case.installation.board
    if is_known(board.place) and board.place.location == "outdoors":
        yield _of(case, "board", key_of(board.enclosure, "ip"), least)


def _of(case: Case, of: str, code: Trade, least: JudgedFigure) -> Finding:
    wanted = f"IP{least.value:g}" if least.value is not None else ""
    digits = (
        re.fullmatch(r"IP(\d|X)(\d|X)[A-DX]?", str(code).strip().upper())
        if is_known(code)
        else None
    )
    if least.value is None or digits is None:
        return RULE.does_not_know(
            case, of, of, f"the IP code of {of}; read it on the enclosure", wanted
        )
    pairs = list(zip(digits.groups(), f"{least.value:g}"))
    if any(has != "X" and int(has) < int(asked) for has, asked in pairs):
        return RULE.says(
            case,
            "advice",
            of,
            of,
            f"{of} stands outdoors and its code is below {wanted}: ask its maker, or choose"
            " another",
            str(code),
            wanted,
        )
    if any(has == "X" for has, _ in pairs):
        return RULE.does_not_know(
            case,
            of,
            of,
            f"the missing digit in the IP code of {of} ({code}); ask its maker",
            wanted,
        )
    return RULE.passes(case, of, of, f"{of} keeps rain out", str(code), wanted)
