"""The device protects the conductor in accordance with its ampacity.

Why: a device above the ampacity lets the conductor overheat unseen. Where the ampacity is no
standard rating the next standard rating up is allowed, to 800 A, but not on a circuit with several
receptacles. 14, 12 and 10 AWG have fixed limits (15, 20 and 30 A) besides.
A pass: 55 A of ampacity on a 60 A device, the next standard rating. A fail: 50 A on a 60 A device.
"""

from firstway.checks.rule import Case, Finding, Findings, NecRule, within

RULE = NecRule(
    "nec-device-protects-conductor",
    "The device protects the conductor",
    "NFPA 70 240.4, 240.4(B), 240.4(D), 240.6(A)",
    "2020",
    "fail",
)


def check(case: Case) -> Findings:
    for of, place in case.each(case.parts):
        yield _of(case, of, place)


def _of(case: Case, of: str, place: str) -> Finding:
    ampacity, device, largest = (
        case.step(step_id, of)
        for step_id in ("corrected-capacity", "device-rating", "largest-device")
    )
    assert ampacity is not None and device is not None and largest is not None
    if ampacity.value is None or device.value is None:
        return RULE.does_not_know(
            case, of, place, ampacity.ask or device.ask or "an input is missing", device.value, "A"
        )
    if largest.value is None:
        return RULE.does_not_know(
            case, of, place, largest.ask or "an input is missing", device.value, "A"
        )
    if not within(device.value, largest.value):
        small = any(row.table == "nec_small_conductor" for row in largest.rows)
        words = (
            "a conductor this small may have no larger device (240.4(D))"
            if small
            else "the device is rated above what protects this conductor"
        )
        return RULE.says(case, "fail", of, place, words, device.value, largest.value, "A")
    if within(device.value, ampacity.value):
        return RULE.passes(
            case,
            of,
            place,
            "the device's rating is not above the conductor's ampacity",
            device.value,
            ampacity.value,
            "A",
        )
    if _several_receptacles(case, of):
        return RULE.says(
            case,
            "fail",
            of,
            place,
            "the next standard rating up is not allowed where a circuit feeds several receptacles",
            device.value,
            ampacity.value,
            "A",
        )
    return RULE.passes(
        case,
        of,
        place,
        f"above the ampacity of {ampacity.value:.3g} A, but the next standard rating up from it,"
        " which 240.4(B) allows",
        device.value,
        largest.value,
        "A",
    )


def _several_receptacles(case: Case, of: str) -> bool:
    if of == "feed":
        return False
    points = case.installation.points_of(case.installation.circuit(of))
    return len(points) > 1 and any(
        point.outlet == "receptacle" or point.hard_wired is not True for point in points
    )
