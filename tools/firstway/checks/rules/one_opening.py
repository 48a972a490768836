"""The tails enter a steel enclosure together, through one opening.

Why: around a single conductor steel is magnetised by its current, and the ring of steel between two
holes grows hot. Line and neutral side by side cancel.
A pass: one opening (or a slot between the holes). A fail: each through a hole of its own.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import is_known, key_of

RULE = Rule(
    "one-opening",
    "The tails pass steel through one opening",
    "BS 7671 521.5.1; IEC 60364-5-52 521.5.1; NFPA 70 300.3(B), 300.20",
    "2018+A3:2024; 2009; 2020",
    "fail",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    feed, enclosure = case.installation.feed, case.installation.board.enclosure
    material = key_of(enclosure, "material")
    cable = key_of(feed, "cable")
    if (is_known(material) and material != "steel") or (
        is_known(cable) and is_known(cable.construction) and cable.construction != "single-core"
    ):
        return
    together = key_of(feed, "one_opening")
    if together is True:
        yield RULE.passes(
            case,
            "feed",
            "board",
            "the tails pass the enclosure through one opening",
            "one opening",
            "one opening",
        )
    elif (
        together is False
        and is_known(material)
        and is_known(cable)
        and is_known(cable.construction)
    ):
        yield RULE.says(
            case,
            "fail",
            "feed",
            "board",
            "single conductors pass the steel through holes of their own: the steel between them"
            " grows hot",
            "several",
            "one opening",
        )
    else:
        yield RULE.does_not_know(
            case,
            "feed",
            "board",
            "whether line, neutral and earth enter the steel through one opening; look at the"
            " board",
            "one opening",
        )
