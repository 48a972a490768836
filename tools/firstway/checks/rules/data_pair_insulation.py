"""Wires for data beside the supply are insulated for the supply's voltage.

Why: a thin pair for the network or for a current clamp often runs in the same cable. If its
insulation is made for a few volts, one nick puts the supply into a router.
A pass: 450 V beside 230 V, or no pair. A fail: a pair for 50 V in the same cable.
"""

from firstway.checks.rule import Case, Findings, JudgedFigure, Rule, of_file, within
from firstway.model.values import NONE, is_known, key_of

RULE = Rule(
    "data-pair-insulation",
    "Data wires beside the supply bear its voltage",
    "BS 7671 528.1; IEC 60364-5-52 528.1",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    job = case.installation
    three = job.supply.phases == 3
    for of, part in case.each(
        (("feed", job.feed), *((circuit.name, circuit) for circuit in job.circuits))
    ):
        cable, several = (
            key_of(part, "cable"),
            (three if of == "feed" else len(key_of(part, "lines")) > 1),
        )
        pair = key_of(cable, "data_pair_v")
        if pair == NONE or of == "feed" and not is_known(pair):
            continue
        bears = of_file(
            pair,
            f"the voltage the data wires beside {of} are made for, or that there are none; read the"
            " cable's data sheet",
        )
        highest = _highest(case, several)
        if bears.value is None or highest.value is None:
            yield RULE.does_not_know(case, of, of, bears.ask or highest.ask, highest.value, "V")
        elif within(highest.value, bears.value):
            yield RULE.passes(
                case,
                of,
                of,
                "the data wires bear the highest voltage beside them",
                bears.value,
                highest.value,
                "V",
            )
        else:
            yield RULE.says(
                case,
                "fail",
                of,
                of,
                "the data wires in the cable do not bear the supply's voltage: one nick puts it on"
                " them; use none of them, or another cable",
                bears.value,
                highest.value,
                "V",
            )


def _highest(case: Case, several: bool) -> JudgedFigure:
    supply = case.installation.supply
    if several:
        return of_file(supply.line_to_line_v, "the voltage between lines")
    return of_file(supply.line_to_earth_v, "the voltage to earth")
