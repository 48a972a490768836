"""Choosing: every size the file leaves to us is tried, smallest first, through workings and checks.

Order: device rating, line conductor, protective conductor, electrode. A size is taken when no
finding on its circuit is fail or danger; what rejected each smaller size is kept for the page. A
gap in a table is refused, not skipped.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial

from firstway.calculations.adding import added
from firstway.checks.rule import Case, Finding
from firstway.checks.running import findings_of
from firstway.choosing.laid_leads import with_laid_leads
from firstway.choosing.nec_sizes import no_rating, with_nec_sizes
from firstway.choosing.rods import with_rods
from firstway.frozen import dataclass
from firstway.model.installation import Cable, Installation
from firstway.model.read_copy import ReadClause
from firstway.model.values import CHOOSE, UNKNOWN, is_known
from firstway.problems import Problem
from firstway.tables.looking_up import (
    flat_twin_pair_mm2,
    next_rating_up_a,
    rating_not_below_a,
    standard_sizes_mm2,
)
from firstway.tables.reading import Gap, Read, Row
from firstway.wiring.deriving import problems_of_wiring
from firstway.workings.shared.book import row_read
from firstway.workings.shared.step import RowRead
from firstway.workings.working_through import not_worked_yet, workings_for_size

LARGEST_RATING_A = 125.0


@dataclass(frozen=True)
class Completed:
    """A complete installation with its case, its findings and, for each chosen path, the sizes
    rejected.

    `given` are findings that stand for those of the case, which are worked when somebody asks.
    `read` are clauses that a reader noted beside the file: shown, and nothing more.
    """

    installation: Installation
    case: Case
    given: tuple[Finding, ...] | None
    log: dict[str, tuple[RowRead, ...]]
    read: tuple[ReadClause, ...] = ()

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What every rule says of it, the gravest first."""
        if self.given is not None:
            return self.given
        return self.case.kept("findings", lambda: findings_of(self.case))


def completed(installation: Installation) -> tuple[Completed | None, list[Problem]]:
    """Choose what is left to choose; the whole is worked and checked as it is asked for.

    Gives problems (and None) where the installation is not worked yet or no size serves.
    """
    log: dict[str, tuple[RowRead, ...]] = {}
    case, problems = chosen_case(installation, log)
    if case is None:
        return None, problems
    return Completed(case.installation, case, None, log), []


def chosen_case(
    installation: Installation, log: dict[str, tuple[RowRead, ...]]
) -> tuple[Case | None, list[Problem]]:
    """The case with every size chosen, not worked yet; `log` is told what was rejected."""
    reason = not_worked_yet(installation)
    if reason:
        return None, [
            Problem(
                installation.file,
                installation.lines_of.get("rules", 1),
                reason,
                "wait for a later version",
            )
        ]
    problems = problems_of_wiring(installation)
    if problems:
        return None, problems
    served: list[Case] = []
    choices: tuple[Choose, ...] = (
        (with_nec_sizes,)
        if installation.rules == "nec"
        else (
            partial(_feed_cable, served),
            *(partial(_circuit_choices, served, each.name) for each in installation.circuits),
            with_rods,
        )
    )
    for choose in (*choices, with_laid_leads):
        installation, problems = choose(installation, log)
        if problems:
            return None, problems
    case = next(
        (each.told(log) for each in served if each.installation is installation),
        Case(installation, log),
    )
    return case, []


Choose = Callable[
    [Installation, dict[str, tuple[RowRead, ...]]], tuple[Installation, list[Problem]]
]


def _feed_cable(
    served: list[Case], installation: Installation, log: dict[str, tuple[RowRead, ...]]
) -> tuple[Installation, list[Problem]]:
    feed = installation.feed
    if (
        not is_known(feed)
        or not is_known(feed.cable)
        or CHOOSE not in (feed.cable.csa_mm2, feed.cable.cpc_mm2)
    ):
        return installation, []
    put = lambda whole, cable: replace(whole, feed=replace(feed, cable=cable))
    return _cable(installation, "feed", "feed.cable", feed.cable, put, log, served)


def _circuit_choices(
    served: list[Case],
    name: str,
    installation: Installation,
    log: dict[str, tuple[RowRead, ...]],
) -> tuple[Installation, list[Problem]]:
    installation, problems = _rating(installation, name, log)
    circuit = installation.circuit(name)
    if problems or CHOOSE not in (circuit.cable.csa_mm2, circuit.cable.cpc_mm2):
        return installation, problems
    put = lambda whole, cable: _with_circuit_cable(whole, name, cable)
    return _cable(installation, name, f"circuits.{name}.cable", circuit.cable, put, log, served)


def _rating(
    installation: Installation, name: str, log: dict[str, tuple[RowRead, ...]]
) -> tuple[Installation, list[Problem]]:
    """The next standard rating not below the design current."""
    way = installation.way_feeding(name)
    if way.rating_a != CHOOSE:
        return installation, []
    path = f"board.ways.{way.name}.rating_a"
    currents = [point.current_a for point in installation.points_of(installation.circuit(name))]
    known = [current for current in currents if is_known(current)]
    current = (
        added(known) if len(known) == len(currents) else _current_from_power(installation, name)
    )
    if current is None:
        return installation, [
            _problem(
                installation,
                path,
                f"the rating of '{way.name}' cannot be chosen: the current of its point is not"
                " known",
                "give `current_a`",
            )
        ]
    found = rating_not_below_a(way.device, str(way.standard), current)
    if isinstance(found, Gap):
        return installation, [_problem(installation, path, *no_rating(way, found))]
    smaller = _smaller_ratings(way.device, str(way.standard), found)
    log[path] = tuple(
        row_read(read.row, read.value, "A", f"below the design current of {current:g} A")
        for read in smaller
    )
    return (
        replace(
            installation,
            board=replace(
                installation.board,
                ways=tuple(
                    replace(item, rating_a=found.value) if item.name == way.name else item
                    for item in installation.board.ways
                ),
            ),
        ),
        [],
    )


def _smaller_ratings(device: str, standard: str, taken: Read) -> Iterator[Read]:
    at: Read | Gap = rating_not_below_a(device, standard, 0.0)
    while isinstance(at, Read) and at.value < taken.value:
        yield at
        at = next_rating_up_a(device, standard, at.value)


def _current_from_power(installation: Installation, name: str) -> float | None:
    points = installation.points_of(installation.circuit(name))
    supply = installation.supply
    powers = [point.power_kw for point in points if is_known(point.power_kw)]
    three = len(points[0].lines) == 3
    volts = supply.line_to_line_v if three else supply.line_to_earth_v
    if len(powers) < len(points) or not is_known(volts):
        return None
    return added(powers) * 1000 / (volts * 3**0.5 if three else volts)


With = Callable[[Installation, Cable], Installation]


def _with_circuit_cable(installation: Installation, name: str, cable: Cable) -> Installation:
    return replace(
        installation,
        circuits=tuple(
            replace(circuit, cable=cable) if circuit.name == name else circuit
            for circuit in installation.circuits
        ),
    )


def _cable(
    installation: Installation,
    of: str,
    path: str,
    cable: Cable,
    put: With,
    log: dict[str, tuple[RowRead, ...]],
    served: list[Case],
) -> tuple[Installation, list[Problem]]:
    """Try the standard sizes of the construction, smallest first; the protective conductor goes
    with each. The case of the size that serves is added to `served`: what it worked need not be
    worked again.
    """
    if not is_known(cable.construction):
        return installation, [
            _problem(
                installation,
                path,
                "a size cannot be chosen: the kind of cable is not known",
                "give `construction`",
            )
        ]
    lines: list[tuple[float, Row | None]] = (
        [(float(cable.csa_mm2), None)]
        if is_known(cable.csa_mm2)
        else [(read.value, read.row) for read in standard_sizes_mm2(str(cable.construction))]
    )
    rejected: list[RowRead] = []
    for line, row in lines:
        for protective in _protective_sizes(cable, line):
            if isinstance(protective, Gap):
                return installation, [
                    _problem(
                        installation,
                        path,
                        f"a size cannot be chosen: {protective.message}",
                        "give `cpc_mm2`",
                    )
                ]
            tried = put(installation, replace(cable, csa_mm2=line, cpc_mm2=protective))
            whole = _rest_given(tried)
            case = Case(whole, workings=workings_for_size(whole, of))
            gap = _gap(case, of)
            if gap:
                return installation, [
                    _problem(
                        installation,
                        path,
                        f"a size cannot be chosen: {gap}",
                        "give the size, or complete the table",
                    )
                ]
            ask = _not_known(case, of, len(_protective_sizes(cable, line)) > 1)
            if ask:
                return installation, [
                    _problem(
                        installation,
                        path,
                        f"a size cannot be chosen: not known: {ask}",
                        "find it out and write it in the file, or give the size",
                    )
                ]
            because = _against(case, SIZE_FINDINGS, of) or _against(case, FAULT_FINDINGS, of)
            if not because:
                _keep(log, path, cable, rejected)
                served.append(case)
                return tried, []
            rejected.append(_rejected(line, row, protective, because))
    return installation, [
        _problem(
            installation,
            path,
            f"no standard size serves '{of}'; the largest tried: "
            + (rejected[-1].because if rejected else "none"),
            "change the route, the device or the construction",
        )
    ]


def _protective_sizes(cable: Cable, line_mm2: float) -> tuple[float | Gap, ...]:
    """Sizes of the protective conductor to try with a line conductor."""
    if is_known(cable.cpc_mm2):
        return (float(cable.cpc_mm2),)
    if cable.cpc_mm2 != CHOOSE or cable.protective == "armour":
        return (line_mm2,)
    if cable.construction == "flat-twin-and-earth":
        pair = flat_twin_pair_mm2(line_mm2)
        return (pair if isinstance(pair, Gap) else pair.value,)
    if cable.protective == "core":
        return (line_mm2,)
    sizes = tuple(
        read.value for read in standard_sizes_mm2("single-core") if read.value <= line_mm2
    )
    return sizes or (line_mm2,)


def _rest_given(installation: Installation) -> Installation:
    """Other sizes still to be chosen count as not known while this one is tried."""
    if not _chooses(installation):
        return installation
    blank = lambda value: UNKNOWN if value == CHOOSE else value
    circuits = tuple(
        replace(
            circuit,
            cable=replace(
                circuit.cable,
                csa_mm2=blank(circuit.cable.csa_mm2),
                cpc_mm2=blank(circuit.cable.cpc_mm2),
            ),
        )
        for circuit in installation.circuits
    )
    ways = tuple(replace(way, rating_a=blank(way.rating_a)) for way in installation.board.ways)
    return replace(installation, circuits=circuits, board=replace(installation.board, ways=ways))


def _chooses(installation: Installation) -> bool:
    """Whether a size is still to be chosen."""
    cables = [circuit.cable for circuit in installation.circuits]
    sizes = [size for cable in cables for size in (cable.csa_mm2, cable.cpc_mm2)]
    return CHOOSE in (*sizes, *(way.rating_a for way in installation.board.ways))


def _gap(case: Case, of: str) -> str:
    """A table without the row this size needs."""
    for step in case.workings.about(of):
        if step.value is None and any(path.startswith("table ") for path in step.missing):
            return step.ask
    return ""


def _not_known(case: Case, of: str, several_protective: bool) -> str:
    """What to find out first: no size is chosen past a check that cannot judge it."""
    wanted = (*SIZE_STEPS, *(("minimum-protective-conductor",) if several_protective else ()))
    for step_id in wanted:
        step = case.step(step_id, of)
        if step is not None and step.value is None:
            return step.ask
    return ""


SIZE_STEPS = ("device-rating", "corrected-capacity", "voltage-drop")


def _against(case: Case, rules: tuple[str, ...], of: str) -> str:
    """The finding that rejects a size: only those a size can change count.

    Through an electrode the loop is tens of ohms whatever the cable, and a supply whose own loop is
    above the limit leaves nothing to a cable: their finding stands beside the size.
    """
    whatever_the_cable = case.step("source-electrode", of) is not None or _supply_alone_above(
        case, of
    )
    for finding in findings_of(case, rules, of):
        if finding.level in ("danger", "fail") and not (
            whatever_the_cable and finding.id == "loop-impedance"
        ):
            return finding.message
    return ""


def _supply_alone_above(case: Case, of: str) -> bool:
    own, limit = case.step("external-loop-impedance", of), case.step("loop-impedance-limit", of)
    return (
        own is not None
        and limit is not None
        and own.value is not None
        and limit.value is not None
        and own.value > limit.value
    )


SIZE_FINDINGS = ("capacity", "voltage-drop", "loop-impedance", "protective-conductor")
FAULT_FINDINGS = ("fault-survived",)  # asked last: it works faults, and few sizes come so far


def _rejected(line: float, row: Row | None, protective: float, because: str) -> RowRead:
    text = f"{line:g} mm² with a protective conductor of {protective:g} mm²"
    if row is None:
        return RowRead("", text, protective, "mm2", "", "", "", because)
    return replace(row_read(row, line, "mm2", because), row=text)


def _keep(
    log: dict[str, tuple[RowRead, ...]], path: str, cable: Cable, rejected: list[RowRead]
) -> None:
    if cable.csa_mm2 == CHOOSE:
        log[f"{path}.csa_mm2"] = tuple(rejected)
    if cable.cpc_mm2 == CHOOSE:
        log[f"{path}.cpc_mm2"] = tuple(rejected) if cable.csa_mm2 != CHOOSE else ()


def _problem(installation: Installation, path: str, message: str, hint: str) -> Problem:
    at = path
    while at and at not in installation.lines_of:
        at = at.rpartition(".")[0]
    return Problem(installation.file, installation.lines_of.get(at, 1), message, hint)
