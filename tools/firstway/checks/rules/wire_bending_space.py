"""Every conductor of the board has room for its bends.

Why: a conductor bent tighter than its radius is stressed at the bend and pulls at its screw; a
board that leaves no room is forced shut on it.
A pass: all conductors are laid with their least radius. Advice: the plan finds no way for one of
them without a tighter bend: move a bar or an opening, or take a larger box.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.model.evidence import scope
from firstway.workings.shared.laid import assumed_places

RULE = Rule(
    "wire-bending-space",
    "Every conductor has room for its bends",
    "BS 7671 522.8; IEC 60364-5-52 522.8; NFPA 70 312.6 (from memory)",
    "2018+A3:2024; ; 2020",
    "advice",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    if case.plan.refused:
        yield RULE.does_not_know(case, "board", "board", f"{case.plan.refused}: look for room")
        return
    laid = {each.id: each for each in case.layout.conductors if each.diameter_mm}
    conductors = [each for each in case.wiring.conductors if each.id in laid]
    with scope():  # what places them is told below, by name
        places = [path for each in conductors for path in assumed_places(case.plan, each)]
    if places:
        names = list(dict.fromkeys(places))
        yield RULE.does_not_know(
            case,
            "board",
            "board",
            f"where everything lies in the board; measure or ask for {names[0]}"
            + (f" and {len(names) - 1} more keys" if names[1:] else ""),
        )
        return
    for name in case.layout.tight:
        bend = laid[name].bend_mm
        yield RULE.says(
            case,
            "advice",
            "board",
            name,
            f"{name} finds no room for its bends as the board is laid out: move a bar or an"
            " opening, or take a larger box",
            bend,
            laid[name].radius_mm,
            "mm",
        )
    if not case.layout.tight:
        yield RULE.passes(case, "board", "board", "every conductor is laid with its least radius")
