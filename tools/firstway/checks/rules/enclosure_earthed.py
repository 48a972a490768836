"""Metal that encloses live parts is joined to the protective conductor.

Why: a core that slips from its terminal, or a blade that goes through the insulation, touches the
metal. Joined to earth it opens a device; joined to nothing it is live until somebody touches it,
and no device on the line side notices.
A pass: the earth bar is screwed to the metal, or a protective conductor leads to it. A danger:
metal joined to nothing.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.checks.tracing import terminals_of_kind
from firstway.model.values import is_known

RULE = Rule(
    "enclosure-earthed",
    "Metal enclosures are earthed",
    "BS 7671 411.3.1.1; IEC 60364-4-41 411.3.1.1; NFPA 70 250.112, 250.114, 408.40",
    "2018+A3:2024; 2017; 2020",
    "danger",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    for terminal in case.each(tuple(terminals_of_kind(case, "enclosure"))):
        of = (
            "board"
            if terminal.device == "enclosure"
            else terminal.device.removesuffix(".enclosure")
        )
        what = f"the metal enclosure of {'the board' if of == 'board' else of}"
        joints = case.wiring.conductors_at(terminal.id)
        asked = (*(path for joint in joints for path in joint.doubt), *_earthed_by_asked(case, of))
        yield RULE.decides(
            case,
            of,
            terminal.id,
            None if asked else bool(joints),
            found="none",
            wanted="joined to earth",
            holds=f"{what} is joined to the protective conductor",
            breaks=f"{what} is joined to no protective conductor",
            ask=f"{' and '.join(asked)}: look how {what} is earthed",
            held="joined",
        )


def _earthed_by_asked(case: Case, of: str) -> tuple[str, ...]:
    """The key that would say what earths a point: a case that is joined to its point alone is
    joined to no more than that.
    """
    point = next((each for each in case.installation.charging_points if each.name == of), None)
    return () if point is None or is_known(point.earthed_by) else (f"{point.path}.earthed_by",)
