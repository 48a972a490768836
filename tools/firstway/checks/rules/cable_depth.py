"""A buried cable lies deep enough for the spade.

Why: people dig, plant and drive posts. No clause names a depth; the limit here is what the trade
keeps, with a marker tape above. Shallower, the first spade finds the cable. Whoever digs the trench
first asks for plans of what lies there, has it located and digs a trial hole by hand.
A pass: at the limit or deeper. Advice: any shallower.
"""

from firstway.checks.places import shallowest_m
from firstway.checks.rule import Case, Findings, Rule, of_table
from firstway.model.values import key_of
from firstway.tables.reading import rule_limit
from firstway.workings.bs_iec.cable import GROUND_METHODS

RULE = Rule(
    "cable-depth",
    "A buried cable lies deep enough",
    "BS 7671 522.8.10; IEC 60364-5-52 522.8.10 (no figure); the depth: common practice",
    "2018+A3:2024; 2009; ",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    job, usual = case.installation, of_table(rule_limit("bs7671", "buried-depth-usual-m"))
    routes = (
        ("supply", job.supply.route),
        ("feed", key_of(job.feed, "route")),
        *((circuit.name, circuit.route) for circuit in job.circuits),
    )
    for of, route in case.each(routes):
        depth = shallowest_m(
            route, GROUND_METHODS, f"how deep {of} lies in the ground; ask who laid it"
        )
        if depth is not None and usual.value is not None:
            yield RULE.compares(
                case,
                of,
                of,
                depth,
                usual,
                "m",
                "the cable lies as deep as the trade buries",
                "the first spade finds this cable: bury it deeper, or cover and mark it",
                at_most=False,
                otherwise="advice",
            )
