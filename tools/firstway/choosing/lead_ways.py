"""Choosing: a job with its surge protective device in the first way, in the last, or with a lead on
a tour: laid and worked as any job is, whoever shows it.
"""

from __future__ import annotations

from firstway.choosing.completing import Completed
from firstway.choosing.moving import (
    as_job,
    bar_run_m,
    laid_at,
    laid_leads_m,
    on_a_tour,
    with_lead_lengths,
)
from firstway.frozen import dataclass
from firstway.model.installation import Way
from firstway.workings.surge.loops import SurgeMode, lead_step, main_mode
from firstway.workings.surge.steps import surge_device


@dataclass(frozen=True)
class LeadPath:
    """The path to the first point in which the varistor of a board's device stands: the device, the
    path, the side beside the line, the conductor that lies there.
    """

    way: Way
    mode: SurgeMode
    side: str
    lead: str

    @staticmethod
    def of(job: Completed) -> LeadPath | None:
        """None where the board holds no working device that its bar feeds."""
        installation, way = job.installation, surge_device(job.installation)
        if way is None or way.fed_from != "bar":
            return None
        circuit = installation.circuits[0]
        mode = main_mode(installation, circuit, installation.points_of(circuit)[0], way)
        side = "earth" if mode.endswith("earth") else "neutral"
        return LeadPath(way, mode, side, f"lead.{'PE' if side == 'earth' else 'N'}.{way.name}")


@dataclass(frozen=True)
class LeadFigures:
    """What the leads of a job come to as they lie: lengths in m of the line side (and how much of
    it runs along the bar), of the lead beside it, of both; the area of their loop in cm2, None
    where there is none; what then stands at the vehicle of the first point, in V.
    """

    path: LeadPath
    point: str
    line_m: float
    along_bar_m: float
    lead_m: float
    whole_m: float
    loop_cm2: float | None
    vehicle_v: float

    @staticmethod
    def of(job: Completed) -> LeadFigures | None:
        """None where something of it is not known."""
        path = LeadPath.of(job)
        if path is None:
            return None
        name, find = path.way.name, job.case.workings.find
        point = job.installation.points_of(job.installation.circuits[0])[0].name
        figures = []
        for step in (
            find("spd-line-lead", name),
            find(f"spd-{path.side}-lead", name),
            find(lead_step(path.mode), name),
            find("surge-at-vehicle", point),
        ):
            if step is None or step.figure is None:
                return None
            figures.append(float(step.figure))
        line, lead, whole, volts = figures
        run = bar_run_m(job.case.plan, path.way)
        loop = job.case.layout.by_id[path.lead].loop_cm2
        return LeadFigures(path, point, line, run, lead, whole, loop, volts)


def job_with_leads(job: Completed, name: str) -> Completed | None:
    """The job with its device and leads so, worked once; None where they cannot be laid."""
    return job.case.kept(f"leads-{name}", lambda: _with_leads(job, name))


def _with_leads(job: Completed, name: str) -> Completed | None:
    path = LeadPath.of(job)
    if path is None or job.case.plan.refused:
        return None
    if name == "on-a-tour":
        straight = job_with_leads(job, "first-way")
        return straight and on_a_tour(straight, path.lead)
    installation, device = job.installation, path.way.name
    place = len(installation.board.ways) if name == "last-way" else 1
    file, own = installation.file, job.case.plan
    moved, plan, problems = laid_at(installation, device, place, file, own)
    if problems or path.lead not in plan.layout.by_id:
        return None
    changed, problems = with_lead_lengths(moved, path.way, laid_leads_m(plan, path.way), file)
    if problems:
        return None
    worked = as_job(job, changed)
    # where things lie hangs on no stated length: it is the plan that the lengths were taken from
    worked.case.kept("layout", lambda: plan.layout)
    return worked
