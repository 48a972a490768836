"""In the wiring itself, a point's own electrode is not joined to the earth of the supply.

Why: the point, or a board in another building, stands on an earth of its own so that a broken PEN
cannot lift it. One wire, screen or armour between the two undoes that.
A pass: no metal way between them. A fail: a conductor joins them, where the file does not already
say so of the armour.
"""

from firstway.checks.places import house_earth_asked
from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import is_known, key_of

RULE = Rule(
    "two-earths-in-contact",
    "Two earths that should be apart are apart",
    "BS 7671 722.411.4.1, 411.3.1.1",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    if case.installation.supply.system == "TT":
        return
    metal = case.joined(conductors_only=True)
    board = case.installation.electrode_of_board
    if board is not None and metal.get(f"{board.name}.PE") == metal[case.wiring.main_earth]:
        yield RULE.says(
            case,
            "fail",
            "board",
            board.name,
            f"a conductor, or the armour of the feed, joins {board.name} to the supply's earth: the"
            " board is no longer apart. Isolate the armour at the board, park the core",
        )
    cable = key_of(case.installation.feed, "cable")
    armoured = key_of(cable, "construction") == "armoured"
    if board is not None and armoured and not is_known(key_of(cable, "armour_earthed")):
        yield RULE.does_not_know(
            case,
            "board",
            board.name,
            f"whether the armour of the feed joins {board.name} to the supply's earth: look at"
            " its glands",
        )
    if board is not None and (asked := house_earth_asked(case.installation)):
        yield RULE.does_not_know(case, "board", board.name, asked)
    elif board is not None and case.installation.board.joined_to_house is True:
        yield RULE.says(
            case,
            "fail",
            "board",
            board.name,
            f"metal that enters the other building joins {board.name} to the house's earth: the"
            " board is no longer apart. Part the metal with an insulating piece, or take the"
            " supply's earth there and bond for it",
        )
    for circuit in case.each(case.installation.circuits):
        for point in case.each(case.installation.points_of(circuit)):
            own = (
                case.installation.electrode(str(point.earthed_by))
                if is_known(point.earthed_by)
                else None
            )
            if (
                own is None
                or own.use != "charging-point"
                or circuit.cable.armour_earthed == "both-ends"
            ):
                continue
            if metal.get(f"{own.name}.PE") == metal[case.wiring.main_earth]:
                yield RULE.says(
                    case,
                    "fail",
                    point.name,
                    own.name,
                    f"a conductor joins {own.name} to the supply's earth: {point.name} is no longer"
                    " apart",
                )
