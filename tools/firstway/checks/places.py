"""Checks: questions several rules ask of an installation and of its currents."""

from collections.abc import Collection
from dataclasses import replace

from firstway.calculations.adding import added
from firstway.checks.devices import OPEN_ON_RESIDUAL, circuits_behind, own_residual
from firstway.checks.rule import (
    Case,
    Finding,
    JudgedFigure,
    Level,
    Rule,
    highest_of_step,
    of_step,
    within,
)
from firstway.frozen import dataclass
from firstway.model.evidence import scope
from firstway.model.installation import (
    Amount,
    Circuit,
    ExistingBoard,
    Installation,
    OpenPen,
    OtherSource,
    ResidualCurrentDevice,
    Stretch,
    Trade,
    Way,
)
from firstway.model.lines import residual_device_at_origin
from firstway.model.values import NONE, UNKNOWN, Absent, Placed, is_known, key_of, path_of
from firstway.tables.looking_up import open_pen
from firstway.tables.reading import Gap, Read, rcd_limit


@dataclass(frozen=True)
class ResidualAhead:
    """A residual current device ahead of a place: its name, type and delay as the file gives them;
    `shared` where it stands over more than one way.
    """

    name: str
    residual_type: Trade
    delay: Trade
    rated_residual_current_ma: Amount
    shared: bool = False


_OLDER_THAN = 1990
"""Boards of that year and later have neither rewirable fuses nor what stood beside them (common
practice)."""


def is_written(case: Case, section: Placed | Absent, key: str) -> bool:
    """Whether the file says something of a key, were it that it is not known."""
    return is_known(section) and path_of(section, key) in case.installation.lines_of


def asked_of_old(case: Case, board: ExistingBoard, key: str) -> bool:
    """Whether a question about old boards is asked of this one: it is old, nobody knows its year,
    or its file answers."""
    year = board.year
    return is_written(case, board, key) or not is_known(year) or year < _OLDER_THAN


def cable_not_described(installation: Installation) -> str:
    """What is asked of the sources that join the board at no way of it; "" where none does."""
    names = " and ".join(str(each.name) for each in installation.sources if _at_no_way(each))
    return names and (
        f"protection of the cable of {names} is not described: which way of the board it joins,"
        " the device there and the screws it takes; name the way in `joined_at`"
    )


def _at_no_way(source: OtherSource) -> bool:
    return not is_known(source.joined_at) or source.joined_at == "board"


def house_earth_asked(installation: Installation) -> str:
    """What is asked of a board on an earth of its own: whether metal that enters its building
    comes from the house and is bonded there too; "" where the file says, or no such metal enters.
    """
    board = installation.board
    if (
        installation.electrode_of_board is None
        or board.extraneous_parts is False
        or is_known(board.joined_to_house)
    ):
        return ""
    if not is_known(board.extraneous_parts):
        return "whether metal enters the other building, and is also joined to the house's earth"
    return (
        "metal enters the other building: is this metal also joined to the house's earth? Look,"
        " test with the metal unbonded, and write `joined_to_house` under board"
    )


def residual_devices_ahead_of_board(installation: Installation) -> tuple[ResidualAhead, ...]:
    """Residual current devices between the origin and the board's incoming terminals."""
    found: list[ResidualAhead] = []
    upstream = residual_device_at_origin(installation)
    if is_known(upstream):
        found.append(replace(_ahead("the device at the origin", upstream), shared=True))
    if is_known(installation.feed):
        for item in installation.feed.through:
            if isinstance(item, str):
                found += _of_existing_way(installation, item)
    return tuple(found)


def way_in_words(reference: str) -> str:
    """A way of an existing board as a sentence names it; a board alone is its name.

    >>> way_in_words("hall.right-hand-side"), way_in_words("hall")
    ('right-hand-side in hall', 'hall')
    """
    board, _, way = reference.partition(".")
    return f"{way} in {board}" if way else board


def _of_existing_way(installation: Installation, reference: str) -> list[ResidualAhead]:
    board_name, _, way = reference.partition(".")
    board = next(
        (board for board in installation.existing_boards if board.name == board_name), None
    )
    if board is None:
        return []
    return [
        replace(
            _ahead(f"the RCD over {way_in_words(reference)}", device),
            shared=len(device.covers) > 1,
        )
        for device in board.rcds
        if is_known(device.covers) and way in device.covers
    ]


def _ahead(name: str, device: ResidualCurrentDevice) -> ResidualAhead:
    return ResidualAhead(name, device.residual_type, device.delay, device.rated_residual_current_ma)


def residual_devices_ahead_of(installation: Installation, way: Way) -> tuple[ResidualAhead, ...]:
    """Residual current devices between the origin and a way of the board, those of the board
    included.
    """
    found = list(residual_devices_ahead_of_board(installation))
    ways = {item.name: item for item in installation.board.ways}
    at, seen = way, set()
    while is_known(at.fed_from) and at.fed_from in ways and at.name not in seen:
        seen.add(at.name)
        at = ways[str(at.fed_from)]
        if at.device in OPEN_ON_RESIDUAL:
            found.append(
                ResidualAhead(
                    at.name,
                    at.residual_type,
                    at.delay,
                    at.rated_residual_current_ma,
                    shared=len(circuits_behind(installation, at)) > 1,
                )
            )
    return tuple(found)


SHARED_ASK = "what else hangs on the device; a qualified person looks and proves what goes off"


def shared_with(circuit: Circuit) -> str | None:
    """What hangs on a circuit's device besides its points, as words; None where it is not known."""
    other = circuit.also_supplies
    return ", ".join(other) if is_known(other) else None


def may_protect_one_point(installation: Installation, device: ResidualAhead) -> bool:
    """Whether a device ahead can be the own one of a point: sensitive, quick, at least of type A
    (722.531.3.101), and over nothing else that the file names.
    """
    limit = rcd_limit("additional-protection-ma")
    if device.delay in ("S", "G") or device.shared or device.residual_type == "AC":
        return False
    return (
        not is_known(device.rated_residual_current_ma)
        or isinstance(limit, Gap)
        or within(device.rated_residual_current_ma, limit.value)
    )


def cannot_tell_what_stands_ahead(installation: Installation) -> str:
    """What to find out before one may say that no residual current device stands ahead of the
    board; "" when it is told.
    """
    if not is_known(installation.feed):
        return "what the board is fed through"
    if installation.supply.upstream_rcd == UNKNOWN:
        return (
            "whether a residual current device stands at the origin; look, and write `upstream_rcd:"
            " none` if there is none"
        )
    through = {
        item.partition(".")[0] for item in installation.feed.through if isinstance(item, str)
    }
    for board in installation.existing_boards:
        if board.name in through and any(not is_known(device.covers) for device in board.rcds):
            return f"which ways of the board '{board.name}' its residual current device covers"
    return ""


def says_no_residual_device(installation: Installation, circuit: Circuit) -> bool:
    """Whether the file itself says that a circuit has no residual current device of its own: in the
    board, ahead of it for it alone, or in a point.
    """
    way = installation.way_feeding(circuit.name)
    if own_residual(installation, way) or cannot_tell_what_stands_ahead(installation):
        return False
    if any(
        may_protect_one_point(installation, each)
        for each in residual_devices_ahead_of(installation, way)
    ):
        return False
    return all(point.built_in_rcd == NONE for point in installation.points_of(circuit))


def may_charge_outdoors(installation: Installation, point_name: str) -> bool | None:
    """Whether a vehicle outdoors may be charged from the point; None when that is not known.

    A lead goes through a door, and a socket takes any lead: a point indoors counts as one that may,
    unless the file says that no vehicle outdoors can be reached.
    """
    point = installation.point(point_name)
    if not is_known(point.location):
        return None
    return point.location == "outdoors" or point.charges_outdoors is not False


def flaw_of_open_pen_device(measure: OpenPen) -> tuple[Level, str] | None:
    """What is wrong with an open-PEN device as far as the file states it; None where nothing is."""
    limit = open_pen("acts-within-s")
    if measure.opens_protective_conductor is False:
        return "danger", "the open-PEN device leaves the protective conductor joined"
    if measure.recloses is True:
        return "fail", "the open-PEN device recloses while the fault may still be there"
    if (
        isinstance(limit, Read)
        and is_known(measure.acts_within_s)
        and not within(measure.acts_within_s, limit.value)
    ):
        return "fail", f"the open-PEN device takes longer than {limit.value:g} s"
    return None


def unknown_of_open_pen_device(measure: OpenPen) -> list[str]:
    """What its maker has to be asked."""
    told = (
        ("what it opens", measure.opens_protective_conductor),
        ("how fast it acts", measure.acts_within_s),
        ("whether it recloses", measure.recloses),
    )
    return [word for word, value in told if not is_known(value)]


def largest_at_origin_ka(case: Case, ask: str) -> JudgedFigure:
    """The largest of the fault currents that the file states at the origin, in kA."""
    stated = case.installation.supply.prospective_fault_current_ka
    if not is_known(stated):
        return JudgedFigure(None, ask)
    found = [
        float(each)
        for each in (stated.line_neutral, stated.line_earth, stated.line_line, stated.three_phase)
        if is_known(each)
    ]
    return JudgedFigure(max(found)) if found else JudgedFigure(None, ask)


def longest_surge_leads(case: Case, way: Way) -> JudgedFigure:
    """The longest way in m from a live conductor through the leads of a surge protective device to
    earth.

    The step counts the line's side (in CT2 the longer one); a surge on the neutral runs through the
    neutral's lead.
    """
    line = of_step(
        case, "spd-lead-length", way.name, f"the length of the leads of {way.name}; measure them"
    )
    if line.value is None:
        return line
    ask = f"the length of the neutral lead of {way.name}; measure it"
    others = [
        of_step(case, step_id, way.name, ask)
        for step_id in ("spd-neutral-lead", "spd-earth-lead", "spd-own-device-link")
    ]
    if any(each.value is None for each in others):
        return JudgedFigure(None, ask)
    return JudgedFigure(
        max(
            line.value,
            added(each.value for each in others if each.value is not None),
            _fitted_leads_m(case, way),
        )
    )


def _fitted_leads_m(case: Case, way: Way) -> float:
    """The same in m of the leads as they are fitted, where the file changes the wiring; 0 where it
    does not.
    """
    if not case.installation.wiring:
        return 0.0
    leads = [
        each
        for each in case.wiring.conductors
        if each.id.startswith("lead.") and each.id.endswith(f".{way.name}")
    ]
    lengths = {each.function: each.length_m for each in leads if each.length_m is not None}
    through = key_of(way.leads, "through_own_device_m")
    return added(
        (
            lengths.pop("PE", 0.0),
            max(lengths.values(), default=0.0),
            float(through) if is_known(through) else 0.0,
        )
    )


def device_ahead_of_board(case: Case) -> JudgedFigure:
    """Rated current in ampere of the device that guards the feed; not known where an existing way
    does and its rating is not in the file.
    """
    feed = case.installation.feed
    if not is_known(feed):
        return JudgedFigure(None, "what the board is fed through")
    if feed.through and isinstance(feed.through[-1], str):
        return JudgedFigure(
            None, f"the rating of the device of {feed.through[-1]}; read it on the device"
        )
    return of_step(case, "device-rating", "feed", "the rating of the device ahead of the board")


def outgoing_together(case: Case) -> JudgedFigure:
    """Rated currents in ampere of the devices that feed circuits, added on the line that
    has most.
    """
    sums: dict[str, float] = {}
    for circuit in case.installation.circuits:
        way = case.installation.way_feeding(circuit.name)
        if not is_known(way.rating_a):
            return JudgedFigure(None, f"the rating of {way.name}; read it on the device")
        for line in circuit.lines:
            sums[line] = sums.get(line, 0.0) + float(way.rating_a)
    return JudgedFigure(max(sums.values(), default=0.0))


def either_guards(rule: Rule, case: Case, place: str, rating: JudgedFigure, what: str) -> Finding:
    """A rating in ampere is kept by the device ahead, or by the outgoing devices together; one of
    the two suffices.
    """
    of = "board"
    if rating.value is None:
        return rule.does_not_know(case, of, place, rating.ask, unit="A")
    with scope() as ahead_seen:
        ahead = device_ahead_of_board(case)
    with scope() as together_seen:
        together = outgoing_together(case)
    ways = (
        (ahead, ahead_seen, f"the device ahead keeps the current of {what} within its rating"),
        (
            together,
            together_seen,
            f"the outgoing devices together cannot draw more than the rating of {what}",
        ),
    )
    kept = [
        each for each in ways if each[0].value is not None and within(each[0].value, rating.value)
    ]
    for figure, seen, message in sorted(kept, key=lambda each: bool(each[1].paths)):
        seen.counts()  # the other way need not hold
        return rule.passes(case, of, place, message, figure.value, rating.value, "A")
    for figure, _, _ in ways:
        if figure.value is None:
            return rule.does_not_know(case, of, place, figure.ask, rating.value, "A")
    return rule.says(
        case,
        "fail",
        of,
        place,
        f"neither the device ahead nor the outgoing devices together keep the current of {what}"
        " within its rating",
        ahead.value,
        rating.value,
        "A",
    )


def given_by_sources_ka(case: Case) -> JudgedFigure:
    """What other sources give into a fault together, in kA, as an upper bound; 0 where the file
    names none.
    """
    if not case.installation.sources:
        return JudgedFigure(0.0)
    found = of_step(case, "fault-current-of-sources", "board")
    return found if found.value is None else JudgedFigure(found.value / 1000)


def largest_with_sources_ka(case: Case, ask: str) -> JudgedFigure:
    """The largest fault current at the board in kA, every source counted."""
    step = "fault-current-with-sources" if case.installation.sources else "fault-current-at-board"
    return highest_of_step(case, step, "board", ask)


def shallowest_m(
    route: tuple[Stretch, ...] | Absent, methods: Collection[str], ask: str
) -> JudgedFigure | None:
    """The least depth in m of a route's stretches laid in one of these ways; None where none is."""
    if not is_known(route):
        return None
    depths = [stretch.depth_m for stretch in route if stretch.method in methods]
    if not depths:
        return None
    known = [float(depth) for depth in depths if is_known(depth)]
    return JudgedFigure(min(known)) if len(known) == len(depths) else JudgedFigure(None, ask)
