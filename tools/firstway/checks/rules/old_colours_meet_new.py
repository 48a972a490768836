"""Where old colours meet new ones, the conductors are marked.

Why: black was the neutral and is now a line; blue was a line and is now the neutral. One wrong
guess at the joint puts line voltage on a case.
A pass: one set of colours. Advice: two; mark every conductor at the joint. Before 2022 a warning
notice was required as well.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import is_known, key_of

RULE = Rule(
    "old-colours-meet-new",
    "Old and new colours are marked where they meet",
    "BS 7671 514.14.1 (required before 2022; confirm in the current book); marking: common"
    " practice",
    "2018+A1:2020",
    "advice",
    ("bs7671",),
)
NOTICE_REQUIRED = ("2018", "2018+A1:2020")


def check(case: Case) -> Findings:
    installation = case.installation
    cables = [
        installation.supply.cable,
        *([installation.feed.cable] if is_known(installation.feed) else []),
        *(circuit.cable for circuit in installation.circuits),
    ]
    colours = [key_of(cable, "colours") for cable in cables] + [
        board.colours for board in installation.existing_boards
    ]
    known = {colour for colour in colours if is_known(colour)}
    if len(known) > 1:
        if installation.edition in NOTICE_REQUIRED:
            yield RULE.does_not_know(
                case,
                "board",
                "board",
                "whether the warning notice of two versions of colours is fitted, which this"
                " edition asks for",
                "notice and marks",
            )
        yield RULE.says(
            case,
            "advice",
            "board",
            "board",
            "old and new colours meet in this installation: mark every conductor where they meet",
            " and ".join(sorted(known)),
            "marked",
        )
    elif any(not is_known(colour) for colour in colours):
        yield RULE.does_not_know(
            case, "board", "board", "the colours of the existing wiring; look at it", "marked"
        )
    else:
        yield RULE.passes(
            case,
            "board",
            "board",
            "one set of colours throughout",
            "".join(sorted(known)),
            "marked",
        )
