"""A protective conductor that lies by itself is thick enough to last.

Why: a core inside a cable is held and sheathed by it. A wire by itself is not: a knock or a pull
breaks a thin one, nothing tells that it is broken, and the next fault finds no way back.
A pass: 4 mm², or 2.5 mm² inside a case. Not known: 2.5 mm² that may lie open. A fail: 0.5 mm² to a
steel box.
"""

from firstway.checks.rule import Case, Finding, Findings, Rule, of_table, within
from firstway.model.evidence import alone
from firstway.tables.looking_up import minimum_separate_protective_conductor_mm2
from firstway.wiring.graph import Conductor
from firstway.wiring.metal import cable_and_route

RULE = Rule(
    "protective-conductor-least",
    "A protective conductor by itself is thick enough to last",
    "BS 7671 543.1.1; IEC 60364-5-54 543.1.3",
    "2018; 2011",
    "fail",
    ("bs7671", "iec60364"),
)
WORDS = "a protective conductor that is no part of a cable"


def check(case: Case) -> Findings:
    # Which conductors these are, and where they lead, is no evidence of how thick they are.
    found = alone(
        lambda: [
            (each, _owner(each), each.end)
            for each in case.wiring.conductors
            if _by_itself(case, each)
        ]
    )[0]
    for conductor, of, place in case.each(found):
        yield _of(case, conductor, of, place)


def _by_itself(case: Case, conductor: Conductor) -> bool:
    """Whether the file gives it a size of its own and no cable holds it. Earthing and bonding
    conductors and the leads of surge protective devices have sizes and rules of their own.
    """
    if conductor.function != "PE" or conductor.kind in ("bar", "lead", "armour"):
        return False
    if conductor.cable:
        return (
            getattr(cable_and_route(case.installation, conductor.cable)[0], "protective", "")
            == "separate"
        )
    return conductor.id.startswith("earth.") and not conductor.path.endswith(".cable")


def _owner(conductor: Conductor) -> str:
    """The part of the file it serves: a cable's owner, a board, a point."""
    return conductor.cable or conductor.id.removeprefix("earth.").removesuffix(
        ".enclosure"
    ).replace("enclosure", "board")


def _inside(case: Case, conductor: Conductor) -> bool:
    """Whether the case of a board or a point protects it: the wire to the metal of that
    very case.
    """
    part = case.wiring.part(conductor.id.removeprefix("earth."))
    return part is not None and part.kind == "enclosure"


def _of(case: Case, conductor: Conductor, of: str, place: str) -> Finding:
    held, bare = (
        of_table(minimum_separate_protective_conductor_mm2(protected))
        for protected in (True, False)
    )
    size = conductor.csa_mm2
    if size is None:
        return RULE.does_not_know(
            case,
            of,
            place,
            f"its size ({', '.join(conductor.missing) or conductor.path}); look at it",
            bare.value,
            "mm2",
        )
    if held.value is None or bare.value is None:
        return RULE.does_not_know(case, of, place, held.ask or bare.ask, unit="mm2")
    if not within(held.value, size):
        return RULE.says(
            case, "fail", of, place, f"{WORDS} is thinner than any may be", size, held.value, "mm2"
        )
    if _inside(case, conductor):
        return RULE.passes(
            case, of, place, "the case protects it, and it is thick enough", size, held.value, "mm2"
        )
    if not within(bare.value, size):
        return RULE.does_not_know(
            case,
            of,
            place,
            f"whether it is protected against knocks along its whole length: only then {size:g} mm²"
            " suffice",
            bare.value,
            "mm2",
        )
    return RULE.passes(case, of, place, f"{WORDS} is thick enough", size, bare.value, "mm2")
