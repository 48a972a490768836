"""Rods go down to ground that neither dries nor freezes.

Why: what lies above frost and drought is no earth in summer and in winter, and the residual current
device is blind just then. Whoever drives one deeper first asks for plans of what lies there, has it
located and digs a trial hole by hand: a rod cannot feel a cable.
A pass: 2.4 m. Advice: 0.4 m.
"""

from firstway.checks.rule import Case, Findings, Rule, of_file, of_table
from firstway.model.values import is_known
from firstway.tables.reading import rule_limit

RULE = Rule(
    "rods-depth",
    "Rods go down to steady ground",
    "BS 7671 542.2.4 (no figure); 1.2 m: common practice",
    "2018+A3:2024",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    least = of_table(rule_limit("bs7671", "rod-depth-least-m"))
    for item in case.each(case.installation.electrodes):
        if is_known(item.rods):
            yield RULE.compares(
                case,
                item.name,
                item.name,
                of_file(item.length_m, f"how deep the rods of {item.name} go"),
                least,
                "m",
                "deep enough for most ground; hard frost asks for more",
                "so short that drought and frost reach all of it: a longer one,"
                " once plans, a search and a trial hole have shown what lies there",
                at_most=False,
                otherwise="advice",
            )
