"""The earthing conductor of the supply is thick enough.

Why: every fault of the house and, on a combined earth, the neutral current of several houses may
flow in this one wire. Where it breaks, all metal of the house hangs together on nothing.
A pass: 10 mm² on a separate earth. A fail: below 10 mm² on a combined earth, 1 mm² anywhere. That
it survives a fault another rule says. A pass is not given where the supply's own neutral decides:
ask for its size.
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
from firstway.model.values import is_known, key_of
from firstway.tables.looking_up import main_bonding_mm2, minimum_separate_protective_conductor_mm2
from firstway.tables.reading import earthing_conductor_mm2

RULE = Rule(
    "earthing-conductor-size",
    "The earthing conductor is thick enough",
    "BS 7671 542.3.1, 543.1.1, 544.1.1 and Table 54.8; IEC 60364-5-54 542.3.1",
    "2018+A3:2024; 2011",
    "fail",
    ("bs7671", "iec60364"),
)
_ASK = "the size of the earthing conductor; look at it where the supply comes in"


def check(case: Case) -> Findings:
    supply = case.installation.supply
    if supply.system == "TT" and not is_known(supply.earthing_conductor):
        return  # the wire to the electrode is its earthing conductor: see electrode-lead-size
    size = of_file(key_of(supply.earthing_conductor, "csa_mm2"), _ASK)
    if supply.system == "TN-C-S" and case.installation.rules == "bs7671":
        yield _combined(case, size)
    else:
        yield _apart(case, size)


def _combined(case: Case, size: JudgedFigure) -> Finding:
    """544.1.1: on a combined earth it is sized as main bonding is, by the neutral of the supply;
    the tails are no thicker than that.
    """
    supply = case.installation.supply
    stated = is_known(supply.neutral_csa_mm2)
    neutrals = [
        float(each)
        for each in (supply.neutral_csa_mm2, key_of(supply.cable, "csa_mm2"))
        if is_known(each)
    ]
    least = of_table(main_bonding_mm2(max(neutrals, default=0.0)))
    if size.value is None or least.value is None:
        return RULE.does_not_know(
            case, "supply", "supply", size.ask or least.ask, least.value, "mm2"
        )
    if not within(least.value, size.value):
        return RULE.says(
            case,
            "fail",
            "supply",
            "supply",
            "the earthing conductor is thinner than the least size for a combined earth",
            size.value,
            least.value,
            "mm2",
        )
    if stated:
        return RULE.passes(
            case,
            "supply",
            "supply",
            "the earthing conductor is as thick as the supply's neutral asks",
            size.value,
            least.value,
            "mm2",
        )
    return RULE.does_not_know(
        case,
        "supply",
        "supply",
        "the size of the supply's neutral, which decides how thick the earthing conductor must be;"
        " ask the distributor (the least size is met)",
        least.value,
        "mm2",
        size.value,
    )


def _apart(case: Case, size: JudgedFigure) -> Finding:
    if case.installation.rules == "bs7671":
        held, bare = (
            of_table(minimum_separate_protective_conductor_mm2(protected))
            for protected in (True, False)
        )
    else:
        held = bare = of_table(earthing_conductor_mm2("iec60364", "anywhere"))
    if size.value is None or held.value is None or bare.value is None:
        return RULE.does_not_know(
            case, "supply", "supply", size.ask or held.ask or bare.ask, bare.value, "mm2"
        )
    if not within(held.value, size.value):
        return RULE.says(
            case,
            "fail",
            "supply",
            "supply",
            "the earthing conductor is thinner than any may be",
            size.value,
            held.value,
            "mm2",
        )
    if not within(bare.value, size.value):
        return RULE.does_not_know(
            case,
            "supply",
            "supply",
            "whether the earthing conductor is protected against knocks along its whole length",
            bare.value,
            "mm2",
            size.value,
        )
    return RULE.passes(
        case,
        "supply",
        "supply",
        "the earthing conductor is not below the least size",
        size.value,
        bare.value,
        "mm2",
    )
