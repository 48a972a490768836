"""Terminals are tightened with a calibrated tool where a torque is marked.

Why: a loose terminal under hours of full current is the commonest fire. Too tight cuts strands.
Advice: 45 lbf·in as marked: use the tool. Not known: no torque stated: read the label or ask the
maker.
"""

from firstway.checks.rule import Case, Findings, NecRule
from firstway.model.values import is_known

RULE = NecRule(
    "nec-terminal-torque",
    "Terminals are tightened as marked",
    "NFPA 70 110.14(D)",
    "2020",
    "advice",
)


def check(case: Case) -> Findings:
    for circuit in case.each(case.installation.circuits):
        way = case.installation.way_feeding(circuit.name)
        marked = way.terminals
        if is_known(marked) and is_known(marked.torque_lbf_in):
            yield RULE.says(
                case,
                "advice",
                circuit.name,
                way.name,
                "a torque is marked: tighten with a calibrated tool, once, at the end",
                marked.torque_lbf_in,
                None,
                "lbf·in",
            )
        elif is_known(marked) and is_known(marked.torque_nm):
            yield RULE.says(
                case,
                "advice",
                circuit.name,
                way.name,
                "a torque is marked: tighten with a calibrated tool, once, at the end",
                marked.torque_nm,
                None,
                "N·m",
            )
        else:
            yield RULE.does_not_know(
                case,
                circuit.name,
                way.name,
                f"the torque of {way.name}'s terminals; read its label or ask the maker",
            )
