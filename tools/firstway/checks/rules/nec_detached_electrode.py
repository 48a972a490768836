"""A building with a panel of its own has a grounding electrode of its own, bonded to the grounding
conductor that comes with the feeder.

Why: the electrode holds the metal of that building to the soil it stands on, for lightning and for
lines that fall. It is never the fault path: that is the equipment grounding conductor.
A pass: an electrode at the panel. A fail: none there.
"""

from firstway.checks.rule import Case, Findings, NecRule
from firstway.model.values import is_known, key_of

RULE = NecRule(
    "nec-detached-electrode",
    "Another building has a grounding electrode of its own",
    "NFPA 70 250.32(A) and (B) (found as of 2008 in journals of the trade; of 2020 from memory)",
    "2020",
    "fail",
)


def check(case: Case) -> Findings:
    installation = case.installation
    building = key_of(installation.board.place, "building")
    buried = any(part.method == "buried" for part in getattr(installation.feed, "route", ()))
    if not is_known(building):
        if buried:
            yield RULE.does_not_know(
                case,
                "board",
                "board",
                "whether the panel hangs in another building: its feeder is buried; write"
                " `building: same` or `detached` under board.place",
            )
    elif building == "detached":
        yield RULE.decides(
            case,
            "board",
            "board",
            any(item.use in ("board", "installation") for item in installation.electrodes),
            found="none",
            wanted="an electrode at the building",
            holds="a grounding electrode stands at the other building",
            breaks="the other building has no grounding electrode: it may lean on the feeder's"
            " grounding conductor alone only where one branch circuit supplies it",
        )
