"""An equipment grounding conductor runs with the circuit and is large enough for the device.

Why: a fault to metal must have a path back of low impedance, or the device does not open and the
metal stays live. The size follows the rating of the device. Where the line conductor is larger than
it need be, the grounding conductor grows with it, unless a qualified person shows that less serves.
A pass: 10 AWG behind a 60 A device. A fail: 12 AWG behind it. A danger: none, and nothing that
takes its place.
"""

from firstway.checks.rule import (
    Case,
    Finding,
    Findings,
    JudgedFigure,
    NecRule,
    of_step,
    of_table,
    within,
)
from firstway.model.installation import ExistingBoard
from firstway.model.values import NONE, is_known, key_of
from firstway.tables.looking_up_nec import (
    area_mm2,
    grounding_conductor_awg,
    is_thinner_than_every_size,
)
from firstway.tables.reading import Gap, ReadWord

RULE = NecRule(
    "nec-grounding-conductor",
    "The equipment grounding conductor is large enough",
    "NFPA 70 250.118, 250.122, Table 250.122",
    "2020",
    "danger",
)


def check(case: Case) -> Findings:
    for of, _ in case.each(case.parts):
        yield _of(case, of)
    for board in case.each(case.installation.existing_boards):
        if is_known(board.protective_conductor):
            yield _of_board(case, board)


def _of_board(case: Case, board: ExistingBoard) -> Finding:
    """The wire an existing panel is grounded by, where the file states one: by the rating of the
    service ahead of it.
    """
    size, name = key_of(board.protective_conductor, "size_awg"), board.name
    rating = of_step(case, "service-rating", "supply", "the rating of the service device")
    least = (
        JudgedFigure(None, rating.ask)
        if rating.value is None
        else _area(grounding_conductor_awg(rating.value))
    )
    if not is_known(size) or least.value is None:
        return RULE.does_not_know(
            case,
            name,
            name,
            least.ask or f"the size of the wire that grounds {name}; look at it",
            least.value,
            "mm2",
        )
    own = (
        JudgedFigure(0.0)
        if is_thinner_than_every_size(str(size))
        else of_table(area_mm2(str(size)))
    )
    return RULE.compares(
        case,
        name,
        name,
        own,
        least,
        "mm2",
        "the wire that grounds the existing panel is large enough for the service device",
        f"{size} AWG: the wire that grounds the existing panel is smaller than the service device"
        " asks for",
        at_most=False,
    )


def _area(found: ReadWord | Gap) -> JudgedFigure:
    return of_table(found) if isinstance(found, Gap) else of_table(area_mm2(found.value))


def _of(case: Case, of: str) -> Finding:
    feed = case.installation.feed
    cable = key_of(feed, "cable") if of == "feed" else case.installation.circuit(of).cable
    own, least = (
        case.step("protective-conductor-size", of),
        case.step("minimum-protective-conductor", of),
    )
    assert own is not None and least is not None
    if is_known(cable) and cable.egc_awg == NONE:
        if cable.wiring_method == "nm-cable" or cable.protective != "armour":
            return RULE.says(
                case,
                "danger",
                of,
                of,
                "no equipment grounding conductor: a fault leaves metal live. Where a listed metal"
                " raceway or armor takes its place (250.118), the file says `protective: armour`",
                "none",
                least.value,
                "mm2",
            )
        return RULE.does_not_know(
            case,
            of,
            of,
            "no wire is run: whether the metal raceway or the cable's armor serves as the grounding"
            " conductor (250.118); look, and ask the authority",
            least.value,
            "mm2",
        )
    if own.value is None or least.value is None:
        return RULE.does_not_know(case, of, of, own.ask or least.ask, least.value, "mm2")
    if not within(least.value, own.value):
        return RULE.says(
            case,
            "fail",
            of,
            of,
            "the equipment grounding conductor is smaller than the device asks for",
            own.value,
            least.value,
            "mm2",
        )
    smallest, grown = (
        case.step("smallest-line-that-serves", of),
        case.step("grounding-conductor-in-proportion", of),
    )
    if smallest is None or smallest.value is None:
        return RULE.does_not_know(
            case,
            of,
            of,
            "whether the line conductor is larger than it need be (250.122(B)):"
            f" {smallest.ask if smallest else 'ask'}",
            least.value,
            "mm2",
            own.value,
        )
    if grown is not None and grown.value is not None and not within(grown.value, own.value):
        return RULE.says(
            case,
            "unknown",
            of,
            of,
            "not known: the line conductor is larger than it need be, and 250.122(B) then enlarges"
            " the grounding conductor in proportion unless a qualified person shows that less"
            " serves; ask the authority",
            own.value,
            grown.value,
            "mm2",
        )
    return RULE.passes(
        case,
        of,
        of,
        "the equipment grounding conductor is large enough for the device",
        own.value,
        least.value,
        "mm2",
    )
