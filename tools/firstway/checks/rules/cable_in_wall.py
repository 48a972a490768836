"""A cable close below the face of a wall is guarded against nails.

Why: people drive nails and screws where they please. A cable less than 50 mm deep runs in the zones
people expect, behind a 30 mA device, or it has an earthed cover such as armour. Tails and feed are
cables too, and mostly no residual current device stands ahead of them.
A pass: deeper, or earthed armour. Advice: behind a 30 mA device, if the run keeps to the zones,
which the file cannot show; under the international rules whatever is unguarded. A fail: neither.
"""

from collections.abc import Iterator, Sequence

from firstway.checks.places import residual_devices_ahead_of, residual_devices_ahead_of_board
from firstway.checks.rule import Case, Finding, Findings, Rule, of_table, within
from firstway.frozen import dataclass
from firstway.model.installation import Amount, Cable, Stretch
from firstway.model.values import Absent, is_known, key_of
from firstway.tables.reading import rcd_limit, rule_limit

RULE = Rule(
    "cable-in-wall",
    "A cable shallow in a wall is guarded",
    "BS 7671 522.6.202, 522.6.203; IEC 60364-5-52 522.8",
    "2018+A3:2024; 2009",
    "fail",
    ("bs7671", "iec60364"),
)
NOT_IN_A_WALL = ("D1", "D2", "buried")
_RESIDUAL = ("rcbo", "rcd")


@dataclass(frozen=True)
class WallRun:
    """A cable with its route. `circuit` is told of every stretch; tails and feed only where
    somebody says so.
    """

    of: str
    cable: Cable | Absent
    route: Sequence[Stretch]
    circuit: bool = False


def check(case: Case) -> Findings:
    for run in case.each(_runs(case)):
        in_walls = [
            stretch.depth_in_wall_mm for stretch in run.route if stretch.method not in NOT_IN_A_WALL
        ]
        if run.circuit and any(not is_known(depth) for depth in in_walls):
            yield RULE.does_not_know(
                case,
                run.of,
                run.of,
                f"how deep in a wall {run.of} runs (0: on its face); measure it",
                unit="mm",
            )
            continue
        depths = [float(depth) for depth in in_walls if is_known(depth) and depth > 0]
        if depths:
            yield _of(case, run, min(depths))


def _runs(case: Case) -> Iterator[WallRun]:
    job = case.installation
    yield WallRun("supply", job.supply.cable, job.supply.route)
    if is_known(job.feed):
        yield WallRun("feed", job.feed.cable, job.feed.route)
    for circuit in job.circuits:
        yield WallRun(circuit.name, circuit.cable, circuit.route, True)


def _of(case: Case, run: WallRun, depth: float) -> Finding:
    limit, sensitive = (
        of_table(rule_limit("bs7671", "zones-needed-below-depth-mm")),
        of_table(rcd_limit("additional-protection-ma")),
    )
    of, cable = run.of, run.cable
    say = lambda level, message: RULE.says(case, level, of, of, message, depth, limit.value, "mm")
    unguarded = "fail" if case.installation.rules == "bs7671" else "advice"
    if limit.value is None or sensitive.value is None:
        return RULE.does_not_know(case, of, of, limit.ask or sensitive.ask, unit="mm")
    if within(limit.value, depth):
        return RULE.passes(
            case, of, of, "the cable runs deep enough in the wall", depth, limit.value, "mm"
        )
    armour = key_of(cable, "armour_earthed")
    if key_of(cable, "construction") == "armoured" and is_known(armour) and armour != "neither-end":
        return RULE.passes(
            case, of, of, "earthed armour covers the cable", depth, limit.value, "mm"
        )
    guards = _residual_currents(case, run)
    if not guards:
        return say(
            unguarded,
            "shallow in a wall, without an earthed cover and without a residual current device"
            " ahead of it",
        )
    if any(not is_known(guard) for guard in guards):
        return RULE.does_not_know(
            case,
            of,
            of,
            "the rated residual current of the device ahead of it; read it on the device",
            limit.value,
            "mm",
        )
    if not within(min(guard for guard in guards if is_known(guard)), sensitive.value):
        return say(
            unguarded,
            "shallow in a wall, without an earthed cover, and the residual current device ahead of"
            " it is not sensitive enough",
        )
    return say(
        "advice",
        "shallow in a wall behind a sensitive device: keep the run to the zones people expect,"
        " which the file cannot show",
    )


def _residual_currents(case: Case, run: WallRun) -> list[Amount]:
    """Rated residual currents of what stands ahead of a cable, in mA."""
    job = case.installation
    if run.of == "supply":
        return []  # a device at the origin stands behind the tails
    if not run.circuit:
        return [each.rated_residual_current_ma for each in residual_devices_ahead_of_board(job)]
    way = job.way_feeding(run.of)
    own = [way.rated_residual_current_ma] if way.device in _RESIDUAL else []
    return [*own, *(each.rated_residual_current_ma for each in residual_devices_ahead_of(job, way))]
