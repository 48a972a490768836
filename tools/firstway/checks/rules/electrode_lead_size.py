"""The wire to an earth electrode is thick enough for where it lies.

Why: in the ground copper is eaten away, and a spade finds a thin wire. Broken, it looks as before,
and the house stands without an earth.
A pass: 16 mm² under its insulation. Not known: 6 mm², which lasts only where it does not lie in the
ground, or is held by a duct there. A fail: 1 mm². An electrode that only measures carries nothing
and is not judged.
"""

from firstway.checks.rule import Case, Finding, Findings, Rule, of_file, of_table, within
from firstway.model.installation import Electrode
from firstway.model.values import key_of
from firstway.tables.reading import earthing_conductor_mm2

RULE = Rule(
    "electrode-lead-size",
    "The wire to the electrode is thick enough",
    "BS 7671 542.3.1, Table 54.1; IEC 60364-5-54 542.3.1",
    "2018+A3:2024; 2011",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for item in case.each(case.installation.electrodes):
        if item.use != "measuring":
            yield _of(case, item)


def _of(case: Case, item: Electrode) -> Finding:
    rules, name = case.installation.rules, item.name
    held, sheathed = (
        of_table(earthing_conductor_mm2(rules, laid))
        for laid in ("buried-sheathed-and-protected", "buried-sheathed")
    )
    size = of_file(key_of(item.lead, "csa_mm2"), f"the size of the wire to {name}; look at it")
    if size.value is None or held.value is None or sheathed.value is None:
        return RULE.does_not_know(
            case, name, name, size.ask or held.ask or sheathed.ask, sheathed.value, "mm2"
        )
    if not within(held.value, size.value):
        return RULE.says(
            case,
            "fail",
            name,
            name,
            "the wire to the electrode is thinner than any earthing conductor may be",
            size.value,
            held.value,
            "mm2",
        )
    if not within(sheathed.value, size.value):
        return RULE.does_not_know(
            case,
            name,
            name,
            f"whether the wire to {name} lies in the ground: there {size.value:g} mm² serve only"
            " where a sheath and a duct or the like protect it",
            sheathed.value,
            "mm2",
            size.value,
        )
    return RULE.passes(
        case,
        name,
        name,
        "the wire to the electrode is thick enough, in the ground too where it keeps its"
        " insulation",
        size.value,
        sheathed.value,
        "mm2",
    )
