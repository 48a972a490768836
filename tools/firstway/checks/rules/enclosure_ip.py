"""No finger and no wire reaches live parts.

Why: behind the cover are bars at line voltage. The first digit of the IP code says what is kept
out: a finger (2), a wire of 1 mm (4). A top that can be reached collects dropped screws and must
keep the wire out.
A pass: IP4X. Advice: IP2X, for the top that can be reached asks for more. A fail: IP0X. A digit
that is not told: read it on the enclosure.
"""

import re

from firstway.checks.rule import Case, Finding, Findings, Rule, of_table, within
from firstway.model.installation import Trade
from firstway.model.values import is_known, key_of
from firstway.tables.reading import rule_limit

RULE = Rule(
    "enclosure-ip",
    "Live parts are out of reach of a finger",
    "BS 7671 416.2.1, 416.2.2; IEC 60364-4-41 A.2",
    "2018+A3:2024; 2005",
    "fail",
    ("bs7671", "iec60364"),
)
_CODE = re.compile(r"IP(\d|X)(\d|X)([A-D]?)", re.IGNORECASE)
# A letter speaks of access alone: B a finger, D a wire.
_LETTERS = {"A": 1, "B": 2, "C": 3, "D": 4}


def check(case: Case) -> Findings:
    job = case.installation
    for of, part in case.each(
        (("board", job.board.enclosure), *((point.name, point) for point in job.charging_points))
    ):
        yield _of(case, of, key_of(part, "ip"))


def _of(case: Case, of: str, code: Trade) -> Finding:
    least, top = (
        of_table(rule_limit("bs7671", word))
        for word in ("ip-first-digit-at-least", "ip-first-digit-of-a-top")
    )
    digit = _keeps_out(str(code)) if is_known(code) else None
    if digit is None or least.value is None or top.value is None:
        return RULE.does_not_know(
            case, of, of, f"what the IP code of {of} keeps out; read it on the enclosure", "IP2X"
        )
    if not within(least.value, digit):
        return RULE.says(case, "fail", of, of, "a finger reaches live parts", str(code), "IP2X")
    if not within(top.value, digit):
        return RULE.says(
            case,
            "advice",
            of,
            of,
            "a finger is kept out, a dropped screw is not: a top that can be reached asks for"
            " IP4X; ask the maker what the top has",
            str(code),
            "IP4X",
        )
    return RULE.passes(case, of, of, "fingers and wires are kept out", str(code), "IP4X")


def _keeps_out(code: str) -> float | None:
    """The first digit, or what the letter says of access where that is more.

    >>> _keeps_out("IP4X"), _keeps_out("IPXXB"), _keeps_out("IPXX"), _keeps_out("type-1")
    (4.0, 2.0, None, None)
    """
    found = _CODE.fullmatch(code.strip())
    if found is None:
        return None
    digit = int(found[1]) if found[1].upper() != "X" else None
    letter = _LETTERS.get(found[3].upper())
    told = [each for each in (digit, letter) if each is not None]
    return float(max(told)) if told else None
