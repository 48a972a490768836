"""Advice: at most 3 % of the voltage lost in the branch circuit, 5 % with the feeder.

Why: lost voltage is heat in the cable and slower charging. The code gives these figures as
information, not as a rule; local energy codes may make them one.
A pass: 0.8 % in all. Advice: 4 % in the branch circuit: a larger conductor, which then enlarges the
grounding conductor too.
"""

from firstway.checks.rule import Case, Findings, NecRule, of_step, of_table
from firstway.tables.looking_up import voltage_drop_limit_percent

RULE = NecRule(
    "nec-voltage-drop",
    "Voltage drop stays within the advised share",
    "NFPA 70 210.19(A) and 215.2(A), informational notes",
    "2020",
    "advice",
)


def check(case: Case) -> Findings:
    for circuit in case.each(case.installation.circuits):
        for step_id, use, words in (
            ("voltage-drop-branch-percent", "branch", "branch circuit"),
            ("voltage-drop-percent", "feeder-and-branch", "feeder and branch circuit"),
        ):
            yield RULE.compares(
                case,
                circuit.name,
                circuit.name,
                of_step(case, step_id, circuit.name, "length and size"),
                of_table(voltage_drop_limit_percent("nec", use)),
                "percent",
                f"the drop of the {words} is within the advised share",
                f"the drop of the {words} is above the advised share: consider a larger conductor",
                otherwise="advice",
            )
