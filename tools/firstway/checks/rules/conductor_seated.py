"""Every conductor sits whole and firm in its clamp.

Why: a tooth behind the clamp, a loose screw, insulation pinched with the copper, or cut strands
make a joint that warms with every charge: 10 milliohm at 32 A are 10 W in one screw. Cold readings
hardly show it. Look, pull, and tighten to the maker's figure. A danger: any of these, as found.
Nothing is said of clamps nobody looked at: no file can prove them.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.checks.tracing import owner
from firstway.wiring.graph import Conductor

RULE = Rule(
    "conductor-seated",
    "The conductor sits whole and firm in its clamp",
    "BS 7671 526.1, 526.2; IEC 60364-5-52 526; NFPA 70 110.14",
    "2018+A3:2024; 2009; 2020",
    "danger",
    ("bs7671", "iec60364", "nec"),
)

SAID = {
    "loose": "is loose",
    "over-tight": "is over-tightened: its strands are crushed",
    "beside-the-clamp": "lies beside the clamp",
    "insulation-under-the-clamp": "is clamped on its insulation",
    "cut-strands": "has cut strands",
    "high-resistance": "is a joint of high resistance",
}


def check(case: Case) -> Findings:
    for conductor in case.wiring.conductors:
        if conductor.contact != "sound":
            place = conductor.start if conductor.contact_end == "start" else conductor.end
            watt = _heat_w(case, conductor)
            yield RULE.says(
                case,
                "danger",
                owner(case, conductor),
                place,
                f"{conductor.id} {SAID[conductor.contact]} at {place}",
                watt,
                None,
                "W" if watt is not None else "",
            )


def _heat_w(case: Case, conductor: Conductor) -> float | None:
    """Heat in the joint at the circuit's design current: I squared times the resistance found."""
    current = case.workings.value("design-current", conductor.cable or "feed")
    return (
        current**2 * conductor.contact_ohm
        if current is not None and conductor.contact_ohm
        else None
    )
