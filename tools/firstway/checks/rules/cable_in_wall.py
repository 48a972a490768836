"""A cable close below the face of a wall is guarded against nails.

Why: people drive nails and screws where they please. A cable less than 50 mm deep runs in the zones people expect, behind a 30 mA device in
the board, or it has an earthed cover such as armour.
A pass: deeper, or earthed armour. Advice: behind the board's 30 mA device, if the run keeps to the zones, which the file cannot show. A fail: neither.
"""

from __future__ import annotations

from typing import Iterator

from firstway.checks.case import Case
from firstway.checks.comparing import of_table
from firstway.checks.finding import Finding
from firstway.checks.rule import Rule, within
from firstway.model.installation import Circuit
from firstway.model.values import is_known
from firstway.tables.looking_up_more import rcd_limit, rule_limit

RULE = Rule("cable-in-wall", "A cable shallow in a wall is guarded", "BS 7671 522.6.202, 522.6.203", "2018+A3:2024", "fail", ("bs7671",))
NOT_IN_A_WALL = ("D1", "D2", "buried")


def check(case: Case) -> Iterator[Finding]:
    for circuit in case.each(case.installation.circuits):
        in_walls = [stretch.depth_in_wall_mm for stretch in circuit.route if stretch.method not in NOT_IN_A_WALL]
        if any(not is_known(depth) for depth in in_walls):
            yield RULE.does_not_know(case, circuit.name, circuit.name, f"how deep in a wall {circuit.name} runs (0: on its face); measure it", unit="mm")
            continue
        depths = [float(depth) for depth in in_walls if depth > 0]  # type: ignore[operator, arg-type]
        if depths:
            yield _of(case, circuit, min(depths))


def _of(case: Case, circuit: Circuit, depth: float) -> Finding:
    limit, sensitive = of_table(rule_limit("bs7671", "zones-needed-below-depth-mm")), of_table(rcd_limit("additional-protection-ma"))
    way, cable = case.installation.way_feeding(circuit.name), circuit.cable
    say = lambda level, message: RULE.says(case, level, circuit.name, circuit.name, message, depth, limit.value, "mm")  # noqa: E731
    if limit.value is None or sensitive.value is None:
        return RULE.does_not_know(case, circuit.name, circuit.name, limit.ask or sensitive.ask, unit="mm")
    if within(limit.value, depth):
        return RULE.passes(case, circuit.name, circuit.name, "the cable runs deep enough in the wall", depth,
                           limit.value, "mm")
    if cable.construction == "armoured" and is_known(cable.armour_earthed) and cable.armour_earthed != "neither-end":
        return RULE.passes(case, circuit.name, circuit.name, "earthed armour covers the cable", depth, limit.value,
                           "mm")
    if way.device not in ("rcbo", "rcd"):
        return say("fail", "shallow in a wall, without an earthed cover and without a residual current device in the board")
    if not is_known(way.rated_residual_current_ma):
        return RULE.does_not_know(case, circuit.name, circuit.name, f"the rated residual current of {way.name}", limit.value, "mm")
    if not within(way.rated_residual_current_ma, sensitive.value):
        return say("fail", "shallow in a wall, without an earthed cover, and the board's residual current device is not sensitive enough")
    return say("advice", "shallow in a wall behind a sensitive device in the board: keep the run to the zones people expect, which the file cannot show")
