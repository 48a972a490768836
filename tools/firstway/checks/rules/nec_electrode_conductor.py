"""The grounding electrode conductor is large enough for the service, or for its rod.

Why: lightning and a lost neutral both look for this wire. It follows the service's conductors, and
a wire to a rod alone need not be larger than the rod can use.
A pass: 6 AWG to a rod. Not known: 8 AWG where nobody read the service conductors. A fail: 14 AWG.
"""

from firstway.checks.rule import Case, Finding, Findings, JudgedFigure, NecRule, of_table, within
from firstway.model.installation import Trade
from firstway.model.values import is_known, key_of
from firstway.tables.looking_up_nec import (
    area_mm2,
    electrode_conductor_awg,
    is_thinner_than_every_size,
)
from firstway.tables.reading import Gap, rule_limit

RULE = NecRule(
    "nec-electrode-conductor",
    "The grounding electrode conductor is large enough",
    "NFPA 70 250.66, 250.66(A), Table 250.66 (from memory)",
    "2020",
    "fail",
)


def check(case: Case) -> Findings:
    wires = [
        ("supply", case.installation.supply.earthing_conductor, False),
        *((item.name, item.lead, True) for item in case.installation.electrodes),
    ]
    for of, lead, rod in case.each(wires):
        yield _of(case, of, key_of(lead, "size_awg"), rod)


def _of(case: Case, of: str, size: Trade, rod: bool) -> Finding:
    least, asked = _area_for(0.0), _asked(case)
    if rod and asked.value is not None:
        most = of_table(rule_limit("nec", "rod-conductor-mm2"))
        asked = most if most.value is not None and not within(asked.value, most.value) else asked
    elif rod:
        asked = of_table(rule_limit("nec", "rod-conductor-mm2"))  # no larger one is ever asked for
    ask = "the size of the grounding electrode conductor; look at it where it leaves the service"
    if not is_known(size):
        return RULE.does_not_know(case, of, of, ask, least.value, "mm2")
    own = (
        JudgedFigure(0.0)
        if is_thinner_than_every_size(str(size))
        else of_table(area_mm2(str(size)))
    )
    if own.value is None or least.value is None:
        return RULE.does_not_know(case, of, of, own.ask or least.ask, least.value, "mm2")
    if not within(least.value, own.value):
        return RULE.says(
            case,
            "fail",
            of,
            of,
            f"{size} AWG: smaller than any grounding electrode conductor may be",
            own.value,
            least.value,
            "mm2",
        )
    if asked.value is not None and within(asked.value, own.value):
        return RULE.passes(
            case,
            of,
            of,
            "the grounding electrode conductor is large enough",
            own.value,
            asked.value,
            "mm2",
        )
    service = key_of(case.installation.supply.cable, "size_awg")
    if asked.value is None or not is_known(service):
        return RULE.does_not_know(
            case,
            of,
            of,
            "the size of the service conductors, which the grounding electrode conductor follows;"
            " look at them",
            asked.value or least.value,
            "mm2",
            own.value,
        )
    return RULE.says(
        case,
        "fail",
        of,
        of,
        f"{size} AWG: smaller than the service conductors ask for",
        own.value,
        asked.value,
        "mm2",
    )


def _area_for(service_mm2: float) -> JudgedFigure:
    """Area of the conductor the table asks for, in mm2."""
    found = electrode_conductor_awg(service_mm2)
    return of_table(found) if isinstance(found, Gap) else of_table(area_mm2(found.value))


def _asked(case: Case) -> JudgedFigure:
    service = key_of(case.installation.supply.cable, "size_awg")
    area = (
        of_table(area_mm2(str(service)))
        if is_known(service)
        else JudgedFigure(None, "the size of the service conductors")
    )
    return area if area.value is None else _area_for(area.value)
