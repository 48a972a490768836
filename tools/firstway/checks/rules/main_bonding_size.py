"""Main bonding is there, and thick enough for its supply.

Why: a fault, or a broken PEN in the street, lifts everything earthed. Metal that enters the
building must rise with it, or one hand touches both. On a combined earth bonding may carry the
neutral current of several houses, also while this installation is off: its size follows the neutral
of the supply, and nobody takes it off before a clamp meter was round it.
A pass: 10 mm² where the earthing conductor has 16 mm². A fail: none; below 10 mm² on a combined
earth, below 6 mm² or half of the earthing conductor elsewhere. Not known where the supply's own
neutral decides: ask for it.
"""

from firstway.checks.rule import (
    Case,
    Finding,
    Findings,
    JudgedFigure,
    Rule,
    of_file,
    of_table,
    within,
)
from firstway.model.installation import ExistingBoard
from firstway.model.values import NONE, is_known, key_of
from firstway.tables.looking_up import main_bonding_mm2
from firstway.tables.reading import rule_limit

RULE = Rule(
    "main-bonding-size",
    "Main bonding is there and thick enough",
    "BS 7671 411.3.1.2, 544.1.1 and Table 54.8, 132.16; IEC 60364-5-54 544.1.1",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)
SMALLEST_NEUTRAL_MM2 = 0.0


def check(case: Case) -> Findings:
    for board in case.each(case.installation.existing_boards):
        yield _of(case, board)


def _of(case: Case, board: ExistingBoard) -> Finding:
    least, decides = _least(case)
    if board.main_bonding_mm2 == NONE:
        return RULE.says(
            case,
            "fail",
            "supply",
            board.name,
            "no main bonding: metal that enters the building is not joined to the main earthing"
            " terminal. It must be put right before a point is added",
            "none",
            least.value,
            "mm2",
        )
    size = of_file(
        board.main_bonding_mm2, "the size of the main bonding; look at the main earthing terminal"
    )
    if size.value is None or least.value is None:
        return RULE.does_not_know(
            case, "supply", board.name, size.ask or least.ask, least.value, "mm2"
        )
    if not within(least.value, size.value):
        return RULE.says(
            case,
            "fail",
            "supply",
            board.name,
            "main bonding is thinner than the least size for this supply: have it replaced before a"
            " point is added",
            size.value,
            least.value,
            "mm2",
        )
    if decides:
        return RULE.does_not_know(
            case,
            "supply",
            board.name,
            f"{decides} (the least size is met)",
            least.value,
            "mm2",
            size.value,
        )
    return RULE.passes(
        case,
        "supply",
        board.name,
        "main bonding is as thick as the earthing conductor or the supply's neutral asks, and not"
        " below the least size",
        size.value,
        least.value,
        "mm2",
    )


def _least(case: Case) -> tuple[JudgedFigure, str]:
    """The least size as far as the file tells, and what decides beyond it."""
    supply = case.installation.supply
    if supply.system != "TN-C-S" or case.installation.rules != "bs7671":
        return _half(case)
    # Tails are no thicker than the neutral of the street, so they give a least.
    known = [
        float(each)
        for each in (supply.neutral_csa_mm2, key_of(supply.cable, "csa_mm2"))
        if is_known(each)
    ]
    return (
        of_table(main_bonding_mm2(max(known, default=SMALLEST_NEUTRAL_MM2))),
        ""
        if is_known(supply.neutral_csa_mm2)
        else "the size of the supply's neutral, which decides; ask the distributor",
    )


def _half(case: Case) -> tuple[JudgedFigure, str]:
    """544.1.1: at least half of the earthing conductor, 6 mm² at least and no more than 25 mm² of
    copper.
    """
    least, most = (
        of_table(rule_limit("bs7671", f"main-bonding-{which}-mm2")) for which in ("least", "most")
    )
    earthing = _earthing_mm2(case)
    if least.value is None or most.value is None or earthing is None:
        return (
            least if least.value is None else most if most.value is None else least
        ), "the size of the earthing conductor, of which bonding has at least half; look at it"
    return JudgedFigure(min(max(least.value, earthing / 2), most.value)), ""


def _earthing_mm2(case: Case) -> float | None:
    """Size of the earthing conductor: that of the supply, or the thickest wire to an electrode of
    the installation.
    """
    supply = case.installation.supply
    leads = (
        [supply.earthing_conductor]
        if supply.system != "TT"
        else [item.lead for item in case.installation.electrodes if item.use == "installation"]
    )
    sizes = [key_of(lead, "csa_mm2") for lead in leads]
    return (
        max(float(size) for size in sizes)
        if sizes and all(is_known(size) for size in sizes)
        else None
    )
