"""The electrode a device measures against is low enough to be a reference.

Why: an open-PEN device that watches true earth needs a reference in it. A dry or lifted electrode
lets the reference float, and the device may be blind or act for nothing. Its maker states the
largest resistance.
A pass: 85 Ω. Advice: 5,000 Ω, or any reading that may drift with the season.
"""

from firstway.checks.rule import Case, Findings, Rule, of_step, of_table
from firstway.tables.reading import electrode_advice_ohm

RULE = Rule(
    "measuring-electrode",
    "The measuring electrode is steady enough to be a reference",
    "BS 7671 722.411.4.1 (iii), Table 41.5 (note); the maker's figure decides",
    "2018+A3:2024",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for item in case.each(case.installation.electrodes):
        if item.use == "measuring":
            yield RULE.compares(
                case,
                item.name,
                item.name,
                of_step(
                    case,
                    "electrode-resistance",
                    item.name,
                    f"the resistance of {item.name}; measure it",
                ),
                of_table(electrode_advice_ohm()),
                "ohm",
                "low enough to stay steady; see that the device's maker asks for no less",
                "so high that it may drift with the season and blind the device: ask its maker for"
                " the largest resistance",
                otherwise="advice",
            )
