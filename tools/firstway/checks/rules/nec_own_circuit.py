"""A charging outlet above 16 A or above 120 V has its own branch circuit.

Why: other loads on the circuit of a charging point would be added to hours of full current. Several
outlets may share one circuit only under an energy management system or a restricted setting.
A pass: one point on the circuit. A fail: two points of 40 A on one circuit with nothing that shares
the current between them.
"""

from firstway.checks.places import SHARED_ASK, shared_with
from firstway.checks.rule import Case, Finding, Findings, NecRule, within
from firstway.model.installation import Circuit
from firstway.model.values import is_known
from firstway.tables.reading import Gap, rule_limit

RULE = NecRule(
    "nec-own-circuit",
    "Each charging outlet has its own branch circuit",
    "NFPA 70 625.40",
    "2023",
    "fail",
)
EXCEPTION_SINCE = 2023


def check(case: Case) -> Findings:
    for circuit in case.each(case.installation.circuits):
        yield _of(case, circuit)


def _of(case: Case, circuit: Circuit) -> Finding:
    of, place, points = (
        circuit.name,
        case.installation.way_feeding(circuit.name).name,
        len(circuit.supplies),
    )
    other = shared_with(circuit)
    if other is None:
        return RULE.does_not_know(case, of, place, SHARED_ASK, "nothing else")
    if other:
        return RULE.says(
            case,
            "fail",
            of,
            place,
            f"its device feeds something else too: {other}",
            other,
            "nothing else",
        )
    if points == 1:
        return RULE.passes(
            case, of, place, "the circuit feeds this point alone", float(points), 1.0, "points"
        )
    if not _asks_for_its_own(case, circuit):
        return RULE.does_not_know(
            case,
            of,
            place,
            "whether these points are above 16 A or 120 V; read their nameplates",
            1.0,
            "points",
        )
    limiter = case.installation.load_limiter
    managed = is_known(limiter) and limiter.documented is True
    if managed and case.edition_year >= EXCEPTION_SINCE:
        return RULE.passes(
            case,
            of,
            place,
            "several points share the circuit under a documented energy management system, as the"
            " exception allows",
            float(points),
            1.0,
            "points",
        )
    if managed:
        return RULE.does_not_know(
            case,
            of,
            place,
            "whether the adopted edition lets an energy management system share one circuit among"
            " points; the exception was read in 2023: ask the authority having jurisdiction",
            1.0,
            "points",
        )
    return RULE.says(
        case,
        "fail",
        of,
        place,
        "several points share one branch circuit and nothing documented manages their current",
        float(points),
        1.0,
        "points",
    )


def _asks_for_its_own(case: Case, circuit: Circuit) -> bool:
    amperes, volts = (
        rule_limit("nec", "own-circuit-above-a"),
        rule_limit("nec", "own-circuit-above-v"),
    )
    voltage = case.step("circuit-voltage", circuit.name)
    if isinstance(amperes, Gap) or isinstance(volts, Gap):
        return True
    currents = [point.current_a for point in case.installation.points_of(circuit)]
    above_v = (
        voltage is not None and voltage.value is not None and not within(voltage.value, volts.value)
    )
    return above_v or any(
        is_known(current) and not within(current, amperes.value) for current in currents
    )
