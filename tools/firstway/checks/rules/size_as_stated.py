"""No conductor in the wiring is thinner than the size the working rests on.

Why: capacity, drop, loop and fault energy were worked with the stated size. What is fitted counts, not what was planned.
A pass: as stated, or thicker. A fail: a 1 mm2 protective core where the file states 6 mm2: work it again with what is there.
"""

from __future__ import annotations

from typing import Iterator

from firstway.checks.case import Case
from firstway.checks.finding import Finding
from firstway.checks.rule import Rule, within
from firstway.checks.tracing import owner
from firstway.wiring.deriving import derived_wiring

RULE = Rule("size-as-stated", "No conductor is thinner than stated", "BS 7671 134.1.1, 642.3; IEC 60364-6 6.4.2.3; NFPA 70 110.3(B)", "2018+A3:2024; 2016; 2020", "fail", ("bs7671", "iec60364", "nec"))


def check(case: Case) -> Iterator[Finding]:
    if not case.installation.wiring:
        stated = {}
    else:
        stated = {each.id: each.csa_mm2 for each in derived_wiring(case.installation).conductors}
    thin = [each for each in case.wiring.conductors if each.csa_mm2 is not None and not within(stated.get(each.id) or 0.0, each.csa_mm2)]
    for each in thin:
        yield RULE.says(case, "fail", owner(case, each), each.id, f"{each.id} is thinner than the working rests on", each.csa_mm2, stated[each.id], "mm2")
