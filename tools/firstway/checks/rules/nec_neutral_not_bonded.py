"""In a panel fed from another, the neutral is kept apart from ground and enclosure.

Why: neutral and ground are joined once, at the service. Joined again in a subpanel, the neutral's
current returns by the grounding conductor and every metal part, and a broken neutral makes them
live.
A pass: bonding screw or strap left out. A danger: fitted in a subpanel.
"""

from firstway.checks.rule import Case, Findings, NecRule
from firstway.model.values import is_known, key_of

RULE = NecRule(
    "nec-neutral-not-bonded",
    "The neutral is not bonded in a subpanel",
    "NFPA 70 250.24(A)(5), 250.142(B), 408.40",
    "2020",
    "danger",
)


def check(case: Case) -> Findings:
    feed, assembly = case.installation.feed, case.installation.board.assembly
    source = key_of(feed, "from_")
    bonded = key_of(assembly, "neutral_bonded")
    if not is_known(source):
        yield RULE.does_not_know(
            case,
            "board",
            "neutral-bar",
            "whether the panel is fed from another panel or is the service equipment",
            "apart",
        )
    elif not is_known(bonded):
        yield RULE.does_not_know(
            case,
            "board",
            "neutral-bar",
            "whether the neutral bar is bonded to the enclosure; look for a bonding screw or strap",
            "apart",
        )
    elif source == "new-service":
        yield RULE.does_not_know(
            case,
            "board",
            "neutral-bar",
            "where the one bond of neutral and ground stands: at the service disconnect, and only"
            " there",
            "once",
        )
    elif bonded:
        yield RULE.says(
            case,
            "danger",
            "board",
            "neutral-bar",
            "the neutral is bonded in a panel fed from another: current of the neutral flows in the"
            " metal parts",
            "bonded",
            "apart",
        )
    else:
        yield RULE.passes(
            case,
            "board",
            "neutral-bar",
            "the neutral is kept apart from ground and enclosure",
            "apart",
            "apart",
        )
