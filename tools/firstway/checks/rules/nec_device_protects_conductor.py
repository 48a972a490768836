"""The device protects the conductor in accordance with its ampacity.

Why: a device above the ampacity lets the conductor overheat unseen. Where the ampacity is no standard
rating the next standard rating up is allowed, to 800 A, but not on a circuit with several receptacles.
14, 12 and 10 AWG have fixed limits (15, 20 and 30 A) besides.
A pass: 55 A of ampacity on a 60 A device, the next standard rating. A fail: 50 A on a 60 A device.
"""

from __future__ import annotations

from typing import Iterator

from firstway.checks.case import Case
from firstway.checks.comparing import passed
from firstway.checks.finding import Finding
from firstway.checks.nec_rule import NecRule, parts
from firstway.tables.found import Gap, Read
from firstway.tables.looking_up import rating_not_below_a
from firstway.tables.looking_up_more import rule_limit
from firstway.tables.looking_up_nec import small_conductor_device_a
from firstway.workings.nec_cable import awg_of

RULE = NecRule("nec-device-protects-conductor", "The device protects the conductor", "NFPA 70 240.4, 240.4(B), 240.4(D), 240.6(A)", "2020", "fail")
STANDARD_RATINGS = "UL 489"


def check(case: Case) -> Iterator[Finding]:
    for of, place in parts(case):
        yield _of(case, of, place)


def _of(case: Case, of: str, place: str) -> Finding:
    ampacity, device = case.step("corrected-capacity", of), case.step("device-rating", of)
    assert ampacity is not None and device is not None
    if ampacity.value is None or device.value is None:
        return RULE.does_not_know(case, of, place, ampacity.ask or device.ask or "an input is missing", device.value, "A")
    assumed = tuple(dict.fromkeys((*ampacity.assumed, *device.assumed)))
    size = case.step("conductor-size", of)
    small = small_conductor_device_a(awg_of(size)) if size is not None and size.value is not None else None
    if isinstance(small, Read) and device.value > small.value:
        return RULE.says(case, "fail", of, place, f"{awg_of(size)} AWG may have no larger device than this", device.value, small.value, "A")  # type: ignore[arg-type]
    if device.value <= ampacity.value:
        return passed(RULE, case, of, place, "the device's rating is not above the conductor's ampacity", assumed, device.value, ampacity.value, "A")
    upward, highest = rating_not_below_a("circuit-breaker", STANDARD_RATINGS, ampacity.value), rule_limit("nec", "next-rating-up-allowed-to-a")
    if isinstance(upward, Gap) or isinstance(highest, Gap):
        return RULE.does_not_know(case, of, place, "the next standard rating above the ampacity; read 240.6(A)", ampacity.value, "A")
    if device.value <= upward.value <= highest.value and not _several_receptacles(case, of):
        return passed(RULE, case, of, place, f"above the ampacity of {ampacity.value:.3g} A, but the next standard rating up from it, which 240.4(B) allows",
                      assumed, device.value, upward.value, "A")
    return RULE.says(case, "fail", of, place, "the device is rated above what protects this conductor", device.value, ampacity.value, "A")


def _several_receptacles(case: Case, of: str) -> bool:
    if of == "feed":
        return False
    points = case.installation.points_of(case.installation.circuit(of))
    return len(points) > 1 and any(point.outlet == "receptacle" or point.hard_wired is not True for point in points)
