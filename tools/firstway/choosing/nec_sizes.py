"""Choosing: nec: device rating, line conductor, equipment grounding conductor, smallest first,
through workings and checks.

A size is taken when no finding on it is fail or danger; the finding that rejected each smaller size
is kept. A gap in a table is refused, not skipped.
"""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from firstway.calculations.nec import CONTINUOUS_LOAD
from firstway.checks.rule import Case, Finding
from firstway.checks.running import findings_of
from firstway.model.installation import Cable, Installation, Way
from firstway.model.values import CHOOSE, UNKNOWN, is_known
from firstway.problems import Problem
from firstway.tables.looking_up import next_rating_up_a, rating_not_below_a
from firstway.tables.looking_up_nec import area_mm2, continuous_load_factor, sizes_awg
from firstway.tables.reading import Gap, Read
from firstway.workings.shared.book import row_read
from firstway.workings.shared.step import RowRead

Log = dict[str, tuple[RowRead, ...]]
Chosen = tuple[Installation, list[Problem]]

LINE_FINDINGS = (
    "nec-continuous-load-conductor",
    "nec-corrected-ampacity",
    "nec-device-protects-conductor",
)
GROUNDING_FINDINGS = ("nec-grounding-conductor",)
LINE_GAPS = (
    "conductor-size",
    "terminal-column",
    "terminal-capacity",
    "insulation-column",
    "insulation-capacity",
    "corrected-capacity",
)
GROUNDING_GAPS = ("protective-conductor-size", "minimum-protective-conductor")


def with_nec_sizes(installation: Installation, log: Log) -> Chosen:
    """Every rating and size the file leaves to us, in the order rating, line, grounding
    conductor.
    """
    for circuit in installation.circuits:
        installation, problems = _rating(installation, circuit.name, log)
        if problems:
            return installation, problems
    for of in ("feed", *(circuit.name for circuit in installation.circuits)):
        for key, findings, gaps in (
            ("size_awg", LINE_FINDINGS, LINE_GAPS),
            ("egc_awg", GROUNDING_FINDINGS, GROUNDING_GAPS),
        ):
            installation, problems = _size(installation, of, key, findings, gaps, log)
            if problems:
                return installation, problems
    return installation, []


def _rating(installation: Installation, name: str, log: Log) -> Chosen:
    """The next standard rating not below 125 % of the load."""
    way = installation.way_feeding(name)
    if way.rating_a != CHOOSE:
        return installation, []
    path = f"board.ways.{way.name}.rating_a"
    current, factor = _load(installation, name), continuous_load_factor()
    if current is None or isinstance(factor, Gap):
        return installation, [
            _problem(
                installation,
                path,
                f"the rating of '{way.name}' cannot be chosen: the current of its point is not"
                " known",
                "give `current_a`",
            )
        ]
    least = CONTINUOUS_LOAD.value({"f_c": factor.value, "I_b": current})
    found = rating_not_below_a(way.device, str(way.standard), least)
    if isinstance(found, Gap):
        return installation, [_problem(installation, path, *no_rating(way, found))]
    log[path] = tuple(
        row_read(
            read.row,
            read.value,
            "A",
            f"below {least:g} A, 125 % of the load (nec-continuous-load-device)",
        )
        for read in _smaller(way.device, str(way.standard), found)
    )
    return _with_rating(installation, way.name, found.value), []


def no_rating(way: Way, gap: Gap) -> tuple[str, str]:
    """Why no rating stands in the table for the device of a way, and what to do."""
    known = is_known(way.standard)
    because = gap.message if known else "the standard of the device is not known"
    hint = "give `rating_a`" if known else "give `standard`, or `rating_a`"
    return f"the rating of '{way.name}' cannot be chosen: {because}", hint


def _smaller(device: str, standard: str, taken: Read) -> Iterator[Read]:
    at = rating_not_below_a(device, standard, 0.0)
    while isinstance(at, Read) and at.value < taken.value:
        yield at
        at = next_rating_up_a(device, standard, at.value)


def _load(installation: Installation, name: str) -> float | None:
    """Design current of a circuit as the workings find it."""
    step = Case(_rest_given(installation)).step("design-current", name)
    return None if step is None else step.value


def _with_rating(installation: Installation, way_name: str, rating_a: float) -> Installation:
    ways = tuple(
        replace(way, rating_a=rating_a) if way.name == way_name else way
        for way in installation.board.ways
    )
    return replace(installation, board=replace(installation.board, ways=ways))


def _cable(installation: Installation, of: str) -> Cable | None:
    if of != "feed":
        return installation.circuit(of).cable
    feed = installation.feed
    return feed.cable if is_known(feed) and is_known(feed.cable) else None


def _with_cable(installation: Installation, of: str, cable: Cable) -> Installation:
    if of == "feed" and is_known(installation.feed):
        return replace(installation, feed=replace(installation.feed, cable=cable))
    return replace(
        installation,
        circuits=tuple(
            replace(circuit, cable=cable) if circuit.name == of else circuit
            for circuit in installation.circuits
        ),
    )


def _size(
    installation: Installation,
    of: str,
    key: str,
    findings: tuple[str, ...],
    gaps: tuple[str, ...],
    log: Log,
) -> Chosen:
    """Try the sizes of the table, smallest conductor first."""
    cable = _cable(installation, of)
    if cable is None or getattr(cable, key) != CHOOSE:
        return installation, []
    path = f"feed.cable.{key}" if of == "feed" else f"circuits.{of}.cable.{key}"
    rejected: list[RowRead] = []
    for size in sizes_awg():
        sized: dict[str, Any] = {key: size}
        tried = _with_cable(installation, of, replace(cable, **sized))
        case = Case(_rest_given(tried))
        refusal = _refusal(case, of, gaps)
        if refusal:
            return installation, [
                _problem(
                    installation,
                    path,
                    f"a size cannot be chosen: {refusal}",
                    "give what is missing, or the size",
                )
            ]
        against = _against(findings_of(case, findings), of)
        if against is None:
            log[path] = tuple(rejected)
            return tried, []
        rejected.append(_rejected(size, against))
    return installation, [
        _problem(
            installation,
            path,
            f"no size of the table serves '{of}'; the largest tried: {rejected[-1].because}",
            "change the route, the device or the wiring method",
        )
    ]


def _refusal(case: Case, of: str, gaps: tuple[str, ...]) -> str:
    """What is not known of a step the choice rests on: a gap of a table or a missing key."""
    for step_id in gaps:
        step = case.step(step_id, of)
        if step is not None and step.value is None:
            return step.ask or "an input is missing"
    return ""


def _against(findings: tuple[Finding, ...], of: str) -> Finding | None:
    return next(
        (
            finding
            for finding in findings
            if finding.of == of and finding.level in ("danger", "fail")
        ),
        None,
    )


def _rejected(size: str, finding: Finding) -> RowRead:
    area = area_mm2(size)
    because = (
        f"{finding.message} ({finding.id}: {_amount(finding.value)} against"
        f" {_amount(finding.limit)} {finding.unit.replace('mm2', 'mm²')})"
    )
    assert isinstance(area, Read)
    return replace(row_read(area.row, area.value, "mm2", because), row=f"{size} AWG")


def _amount(value: float | str | None) -> str:
    return f"{value:.4g}" if isinstance(value, float) else str(value)


def _rest_given(installation: Installation) -> Installation:
    """Sizes still to be chosen count as not known while another is tried."""
    for of in ("feed", *(circuit.name for circuit in installation.circuits)):
        cable = _cable(installation, of)
        if cable is not None:
            blank: dict[str, Any] = {
                key: UNKNOWN for key in ("size_awg", "egc_awg") if getattr(cable, key) == CHOOSE
            }
            installation = _with_cable(installation, of, replace(cable, **blank))
    ways = tuple(
        replace(way, rating_a=UNKNOWN) if way.rating_a == CHOOSE else way
        for way in installation.board.ways
    )
    return replace(installation, board=replace(installation.board, ways=ways))


def _problem(installation: Installation, path: str, message: str, hint: str) -> Problem:
    at = path
    while at and at not in installation.lines_of:
        at = at.rpartition(".")[0]
    return Problem(installation.file, installation.lines_of.get(at, 1), message, hint)
