"""No conductor in the wiring is thinner or longer than what the working rests on.

Why: capacity, drop, loop and fault energy were worked with the stated size and length. What is
fitted counts, not what was planned.
A pass: as stated, or thicker. A fail: a 1 mm² protective core where the file states 6 mm²: work it
again with what is there.
"""

from firstway.checks.rule import Case, Findings, Rule, within
from firstway.checks.tracing import owner
from firstway.tables.looking_up_nec import area_mm2
from firstway.tables.reading import Gap
from firstway.wiring.deriving import derived_wiring
from firstway.wiring.graph import Conductor

RULE = Rule(
    "size-as-stated",
    "No conductor is thinner or longer than stated",
    "BS 7671 134.1.1, 642.3; IEC 60364-6 6.4.2.3; NFPA 70 110.3(B)",
    "2018+A3:2024; 2016; 2020",
    "fail",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    if not case.installation.wiring:
        return
    stated = {each.id: each for each in derived_wiring(case.installation).conductors}
    for each in case.wiring.conductors:
        before = stated.get(each.id)
        size, least = each.csa_mm2, _area_mm2(before) if before is not None else None
        if size is not None and least is not None and not within(least, size):
            yield RULE.says(
                case,
                "fail",
                owner(case, each),
                each.id,
                f"{each.id} is thinner than the working rests on",
                size,
                least,
                "mm2",
            )
        if (
            before is not None
            and each.length_m is not None
            and before.length_m is not None
            and not within(each.length_m, before.length_m)
        ):
            yield RULE.says(
                case,
                "fail",
                owner(case, each),
                each.id,
                f"{each.id} is longer than the working rests on",
                each.length_m,
                before.length_m,
                "m",
            )


def _area_mm2(conductor: Conductor) -> float | None:
    """Its area as stated, in mm2; from the table where it is stated in AWG."""
    if conductor.csa_mm2 is not None or not conductor.size.endswith(" AWG"):
        return conductor.csa_mm2
    found = area_mm2(conductor.size.removesuffix(" AWG"))
    return None if isinstance(found, Gap) else found.value
