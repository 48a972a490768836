"""Choosing: one circuit with every size and every way of running it that the tables know, and what
the checks say of each: why the one that is chosen, and why not the others.

The ground stays ground and the air stays air: in each the methods are tried that the tables print a
capacity for. Ratings are tried where the file leaves the device's to choose.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import product
from typing import Any

from firstway.checks.rule import AS_TOLD, Case, Finding, JudgedFigure, Level, of_step
from firstway.checks.running import findings_of
from firstway.choosing.completing import Completed, chosen_case, completed
from firstway.choosing.trials import Trials, to_the_end
from firstway.files.plain_values import suggestion
from firstway.files.specs import Word, specs_of
from firstway.frozen import dataclass
from firstway.model.agreement import disagreements
from firstway.model.installation import Cable, Circuit, Installation, Stretch
from firstway.model.reading import installation_from_yaml
from firstway.model.values import CHOOSE, is_known
from firstway.problems import Problem, visible
from firstway.tables.looking_up import (
    capacity_rows,
    flat_twin_pair_mm2,
    next_rating_up_a,
    standard_sizes_mm2,
)
from firstway.tables.looking_up_nec import sizes_awg
from firstway.tables.reading import Gap

RATINGS_TRIED = 3
"""The rating that is chosen, and the next ones up."""
IN_THE_GROUND = frozenset({"D1", "D2", "buried"})
"""Methods of a stretch in the ground; every other one runs in air."""
COLUMN_RULES = (
    "capacity",
    "voltage-drop",
    "loop-impedance",
    "disconnection-time",
    "protective-conductor",
    "fault-survived",
    "nec-continuous-load-conductor",
    "nec-corrected-ampacity",
    "nec-device-protects-conductor",
    "nec-grounding-conductor",
    "nec-voltage-drop",
)
"""What the columns of the table are judged by, asked first."""
_Progress = Callable[[str], None]


@dataclass(frozen=True)
class Alternative:
    """One line of the table. `size` and `protective` as the file says them: mm2, or the American
    gauge; `methods` along the route, `rating` of the device in A.

    Figures: capacity in A, drop in per cent, loop in ohm, the time until a fault to earth is
    disconnected in s, the least protective conductor in mm2; what is not known tells what is
    missing. `judged` are the findings of the columns that have a figure for their limit. `level` is
    the gravest verdict, `finding` the one it comes from: None where nothing stands against it.
    """

    size: str
    protective: str
    methods: tuple[str, ...]
    rating: float | None
    capacity: JudgedFigure
    drop: JudgedFigure
    loop: JudgedFigure
    time: JudgedFigure
    least_protective: JudgedFigure
    judged: tuple[Finding, ...]
    level: Level
    finding: Finding | None
    chosen: bool


@dataclass(frozen=True)
class Alternatives:
    """The table of one circuit. `chosen` is whether the file left the size to be chosen;
    `not_printed` are methods no table prints for this cable.
    """

    installation: Installation
    circuit: str
    lines: tuple[Alternative, ...]
    left_to_choose: bool
    not_printed: tuple[str, ...]


def alternatives_of(
    text: str, file: str, name: str, circuit: str, progress: _Progress = lambda _: None
) -> tuple[Alternatives | None, list[Problem]]:
    """The table of a circuit of the text of an installation; or all that is wrong with the text or
    with the name.
    """
    return to_the_end(alternatives_tried(text, file, name, circuit), progress)


def alternatives_tried(
    text: str, file: str, name: str, circuit: str
) -> Trials[tuple[Alternatives | None, list[Problem]]]:
    """The same, line by line."""
    given, problems = installation_from_yaml(text, file, name)
    if given is None:
        return None, problems
    job, problems = completed(given)
    if job is None:
        return None, problems
    names = [each.name for each in given.circuits]
    if circuit not in names:
        say = f"the file has no circuit '{visible(circuit)}'"
        hint = suggestion(circuit, names) or f"name one of: {', '.join(names)}"
        return None, [Problem("circuit", 0, say, hint)]
    return (yield from _table(job, given, circuit))


def _table(
    job: Completed, given: Installation, name: str
) -> Trials[tuple[Alternatives | None, list[Problem]]]:
    whole, circuit = job.installation, job.installation.circuit(name)
    if not is_known(circuit.cable.construction):
        line = whole.lines_of.get(f"circuits.{name}.cable", 1)
        say = f"the kind of cable of '{name}' is not known: no table can be read"
        hint = "give `construction`"
        return None, [Problem(whole.file, line, say, hint)]
    routes, not_printed = _routes(whole, circuit)
    rows = list(product(_ratings(given, whole, name), routes, _cables(circuit.cable, whole)))
    known = {_key(each) for each in job.findings if each.level in ("danger", "fail")}
    lines = []
    for number, (rating, route, cable) in enumerate(rows, 1):
        yield f"line {number} of {len(rows)}"
        changed = _changed(whole, circuit, cable, route, rating)
        if disagreements(changed):
            continue
        changed = _with_protective(
            changed,
            given,
            name,
            (cable, rating) == (circuit.cable, whole.way_feeding(name).rating_a),
        )
        chosen = changed.circuits == whole.circuits and changed.board == whole.board
        lines.append(_line(changed, name, chosen, known))
    own = given.circuit(name).cable
    left = CHOOSE in (own.csa_mm2, own.size_awg)
    return Alternatives(whole, name, tuple(lines), left, not_printed), []


# ---- what is tried


def _ratings(given: Installation, whole: Installation, name: str) -> list[float | None]:
    """The rating of the device; where it is left to choose, the next ones up too."""
    way = whole.way_feeding(name)
    if not is_known(way.rating_a):
        return [None]
    ratings: list[float | None] = [float(way.rating_a)]
    if given.way_feeding(name).rating_a != CHOOSE:
        return ratings
    at = float(way.rating_a)
    while len(ratings) < RATINGS_TRIED:
        found = next_rating_up_a(way.device, str(way.standard), at)
        if isinstance(found, Gap):
            break
        at = found.value
        ratings.append(at)
    return ratings


def _routes(
    whole: Installation, circuit: Circuit
) -> tuple[list[tuple[Stretch, ...]], tuple[str, ...]]:
    """The route as it is, and with another method in air, in the ground, or both; and the methods
    that no table prints for this cable.
    """
    printed, not_printed = _methods(whole, circuit)
    stated = {each.method for each in circuit.route}
    choices = {
        ground: ["", *(each for each in printed if (each in IN_THE_GROUND) == ground)]
        if any((each in IN_THE_GROUND) == ground for each in stated)
        else [""]
        for ground in (False, True)
    }
    routes = []
    for air, ground in product(choices[False], choices[True]):
        route = tuple(
            replace(each, method=(ground if each.method in IN_THE_GROUND else air) or each.method)
            for each in circuit.route
        )
        if route not in routes:
            routes.append(route)
    return routes, not_printed


def _methods(whole: Installation, circuit: Circuit) -> tuple[list[str], tuple[str, ...]]:
    kind = specs_of(Stretch)["method"].kind
    if whole.rules == "nec" or not isinstance(kind, Word):
        return (
            [],
            (),
        )  # its tables ask for the wiring method of the cable, not for that of a stretch
    cable = circuit.cable
    loaded = 3 if len(circuit.lines) == 3 else 2
    columns = [
        method
        for method in kind.choices
        if capacity_rows(
            whole.rules, str(cable.construction), str(cable.insulation), method, loaded
        )
    ]
    return columns, tuple(
        method for method in kind.choices if method not in columns and len(method) < 4
    )


def _cables(cable: Cable, whole: Installation) -> list[Cable]:
    """The cable in every size, with the protective conductor that is made into it; one that is laid
    beside it stays as it is.
    """
    if whole.rules == "nec":
        return [replace(cable, size_awg=size) for size in sizes_awg()]
    found = []
    for read in standard_sizes_mm2(str(cable.construction)):
        protective = cable.cpc_mm2
        if cable.protective == "core" and is_known(protective):
            pair = flat_twin_pair_mm2(read.value)
            made = read.value if isinstance(pair, Gap) else pair.value
            flat = cable.construction == "flat-twin-and-earth"
            protective = made if flat else read.value
        same = read.value == cable.csa_mm2
        found.append(cable if same else replace(cable, csa_mm2=read.value, cpc_mm2=protective))
    return found


def _changed(
    whole: Installation,
    circuit: Circuit,
    cable: Cable,
    route: tuple[Stretch, ...],
    rating: float | None,
) -> Installation:
    changed = replace(circuit, cable=cable, route=route)
    ways = tuple(
        replace(way, rating_a=rating)
        if way.feeds == circuit.name and rating is not None and way.rating_a != rating
        else way
        for way in whole.board.ways
    )
    return replace(
        whole,
        circuits=tuple(changed if each.name == circuit.name else each for each in whole.circuits),
        board=replace(whole.board, ways=ways),
        readings=(),  # they were taken on what stands there
    )


def _with_protective(
    changed: Installation, given: Installation, name: str, same: bool
) -> Installation:
    """The protective conductor chosen anew where the file leaves it open and it is not made into
    the cable; where none serves, as it was.
    """
    own, cable = given.circuit(name).cable, changed.circuit(name).cable
    made_into_it = cable.protective == "core" and changed.rules != "nec"
    if same or made_into_it or CHOOSE not in (own.cpc_mm2, own.egc_awg):
        return changed
    key = "egc_awg" if changed.rules == "nec" else "cpc_mm2"
    open_: dict[str, Any] = {key: CHOOSE}
    circuits = tuple(
        replace(each, cable=replace(cable, **open_)) if each.name == name else each
        for each in changed.circuits
    )
    case, _ = chosen_case(replace(changed, circuits=circuits), {})
    return changed if case is None else case.installation


# ---- what is said of it


def _line(
    installation: Installation, name: str, chosen: bool, known: set[tuple[str, str, str]]
) -> Alternative:
    case = Case(installation)
    cable = installation.circuit(name).cable
    nec = installation.rules == "nec"
    rating = installation.way_feeding(name).rating_a
    route = installation.circuit(name).route
    own = findings_of(case, COLUMN_RULES, name)
    against = _against(case, own, name, known)
    figure = lambda step: of_step(case, step, name, "not worked under these rules")
    return Alternative(
        _size(cable.size_awg if nec else cable.csa_mm2),
        _size(cable.egc_awg if nec else cable.cpc_mm2),
        tuple(dict.fromkeys(str(each.method) for each in route)),
        float(rating) if is_known(rating) else None,
        figure("corrected-capacity"),
        figure("voltage-drop-percent"),
        figure("loop-impedance"),
        figure("disconnection-time"),
        figure("minimum-protective-conductor"),
        tuple(each for each in own if isinstance(each.limit, float)),
        against.level if against else "pass",
        against,
        chosen,
    )


def _against(
    case: Case, own: tuple[Finding, ...], name: str, known: set[tuple[str, str, str]]
) -> Finding | None:
    """The finding that rejects it: of the columns first; else a fail or a danger of anything that
    the job as it stands has not. Of what is only not known, what the columns do not know.
    """
    worst = next(iter(own), None)
    if worst is not None and worst.level in ("danger", "fail"):
        return worst
    for finding in findings_of(case):
        grave = finding.level in ("danger", "fail")
        if grave and (finding.of == name or _key(finding) not in known):
            return finding
    weighed = worst is not None and AS_TOLD.index(worst.level) < AS_TOLD.index("pass")
    return worst if weighed else None


def _key(finding: Finding) -> tuple[str, str, str]:
    return finding.id, finding.of, finding.place


def _size(value: object) -> str:
    if isinstance(value, float):
        return f"{value:g}"
    return str(value) if is_known(value) else ""
