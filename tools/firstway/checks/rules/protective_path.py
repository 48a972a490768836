"""From the metal of every point an unbroken protective conductor leads to the board's earth bar, or
to the point's own electrode.

Why: without it a fault makes the point and the vehicle live and nothing opens; the filters alone
hold the metal near half of the line voltage.
A pass: joined by protective conductors. A danger: the protective core left off, broken, or joined
to nothing that is earth.
A fail: it is left off, and the armour beside it is all that joins the point.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.checks.tracing import has_unlike, terminals_of_kind
from firstway.model.values import is_known
from firstway.wiring.graph import Conductor
from firstway.wiring.metal import cable_and_route

RULE = Rule(
    "protective-path",
    "The protective conductor of each point is whole",
    "BS 7671 411.3.1.1, 643.2.1; IEC 60364-6 6.4.3.2; NFPA 70 250.114",
    "2018+A3:2024; 2016; 2020",
    "danger",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    metal = case.joined(conductors_only=True)
    bar = {
        metal[terminal.id]
        for terminal in terminals_of_kind(case, "earth-bar")
        if terminal.id.rpartition(".")[2].isdigit()
    }
    beside = tuple(
        each.id
        for each in case.wiring.conductors
        if each.kind == "armour" and _is_beside_a_core(case, each)
    )
    for point in case.each(case.installation.charging_points):
        here = f"{point.name}.PE"
        if case.wiring.terminal(here) is None or has_unlike(case, here):
            continue
        own = (
            case.installation.electrode(str(point.earthed_by))
            if is_known(point.earthed_by)
            else None
        )
        if own is not None and own.use == "charging-point":
            whole, goal = metal[here] == metal.get(f"{own.name}.PE"), own.name
        else:
            whole, goal = metal[here] in bar, "the earth bar"
        if whole and own is None and beside and not _joined(case, here, beside):
            yield RULE.says(
                case,
                "fail",
                point.name,
                here,
                f"no protective conductor joins {here} to {goal}: only the armour beside it does,"
                " and nothing tells that it suffices",
            )
        if not whole:
            yield RULE.says(
                case, "danger", point.name, here, f"no protective conductor joins {here} to {goal}"
            )


def _is_beside_a_core(case: Case, armour: Conductor) -> bool:
    """An armour that is not itself the protective conductor of its cable."""
    cable, _ = cable_and_route(case.installation, armour.cable)
    return is_known(cable) and cable.protective != "armour"


def _joined(case: Case, here: str, without: tuple[str, ...]) -> bool:
    """Whether the point still hangs on the earth bar with some conductors taken off."""
    metal = case.joined(conductors_only=True, without=without)
    return metal[here] in {
        metal[terminal.id]
        for terminal in terminals_of_kind(case, "earth-bar")
        if terminal.id.rpartition(".")[2].isdigit()
    }
