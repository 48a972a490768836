"""An enclosure of class II stays one: nothing in it is earthed, no metal passes its wall.

Why: where an electrode is the earth, what lies ahead of the first residual current device has no
device that would open a fault to metal. There insulation alone protects, twice over. A rail that
somebody joins to the earth bar, a gland of metal or a screw put in place of one of plastic brings
the earth, or a live part, through it. Protective conductors pass through such a box insulated, to a
bar that stands on insulators; the metal of the box is joined to nothing.
A pass: plastic, rail on its own, glands and screws of plastic. A fail: the rail joined to the earth
bar; a gland of metal; a box of metal that is called class II.
"""

from firstway.checks.rule import Case, Finding, Findings, Rule
from firstway.model.installation import YesNo
from firstway.model.values import is_known

RULE = Rule(
    "class-two-kept",
    "A class II enclosure stays one",
    "BS 7671 412.2.2, 531.3.5.3.1 (from memory); IEC 60364-4-41 412.2.2 (from memory)",
    "2018+A3:2024; 2017",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    box = case.installation.board.enclosure
    if not is_known(box) or box.double_or_reinforced_insulation is not True:
        return
    if box.material in ("steel", "aluminium"):
        yield RULE.says(
            case,
            "fail",
            "board",
            "board",
            f"an enclosure of {box.material} is called class II: a line that touches it makes it"
            " live. Earth it, and say that it is not",
            str(box.material),
            "plastic",
        )
        return
    yield _judged(
        case,
        box.inner_metal_earthed,
        "earthed",
        "joined to nothing",
        "metal inside the class II enclosure is joined to nothing",
        "metal inside the class II enclosure is joined to the protective conductor: part it",
        "whether rail or plate inside the class II enclosure is joined to the earth bar; look",
    )
    yield _judged(
        case,
        box.metal_through_wall,
        "metal",
        "none",
        "no metal passes the wall of the class II enclosure",
        "metal passes the wall of the class II enclosure: put glands and screws of plastic there",
        "whether a gland, a conduit or a screw of metal passes the wall of the class II enclosure;"
        " look",
    )


def _judged(
    case: Case, said: YesNo, found: str, wanted: str, holds: str, breaks: str, ask: str
) -> Finding:
    return RULE.decides(
        case,
        "board",
        "board",
        None if not is_known(said) else not said,
        found=found,
        wanted=wanted,
        holds=holds,
        breaks=breaks,
        ask=ask,
    )
