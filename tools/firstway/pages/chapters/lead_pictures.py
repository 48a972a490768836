"""Pages: the leads of a surge protective device as they may lie in one board, each way drawn, with
what it costs: laid, worked and run as any board is.
"""

from __future__ import annotations

from dataclasses import replace

from firstway.choosing.completing import Completed
from firstway.choosing.moving import as_job, bar_run_m, moved_to, on_a_tour
from firstway.drawing.lifelike.picture import lifelike
from firstway.pages.shared.picture import picture_html
from firstway.rendering.figures import full, number_text, with_unit
from firstway.rendering.html import Markup, tag
from firstway.workings.surge.steps import surge_device

LEAD_PICTURES = {
    "first-way": "The device in the first way, its leads by the shortest way",
    "last-way": "The device in the last way, its leads as short as they can be there",
    "on-a-tour": "The device in the first way, its earth lead tidied along the walls",
}


def lead_picture(job: Completed, name: str) -> Markup | None:
    """The board with its leads so, and below it what they come to; None where it holds no working
    device, or its figures are not known.
    """
    worked = job_with_leads(job, name)
    if worked is None:
        return None
    drawn = lifelike(worked, f"{job.installation.name}-leads-{name}")
    told = leads_told(worked)
    return told and picture_html(replace(drawn, title=LEAD_PICTURES[name])) + tag("p", told)


def job_with_leads(job: Completed, name: str) -> Completed | None:
    """The job with its device and leads so."""
    way = surge_device(job.installation)
    if way is None:
        return None
    place = len(job.installation.board.ways) if name == "last-way" else 1
    moved, problems = moved_to(job.installation, way.name, place, job.installation.file)
    if problems:
        return None
    worked = as_job(job, moved)
    return on_a_tour(worked, way.name) if name == "on-a-tour" else worked


def leads_told(job: Completed) -> Markup | None:
    """Lengths, loop and volts in a line; None where something of it is not known."""
    way = surge_device(job.installation)
    assert way is not None  # its leads are told
    point, find = job.installation.charging_points[0].name, job.case.workings.find
    sides = [find(f"spd-{side}-lead", way.name) for side in ("line", "earth")]
    steps = [*sides, find("spd-lead-length", way.name), find("surge-at-vehicle", point)]
    if any(step is None or step.figure is None for step in steps):
        return None
    line, earth, whole, volts = (float(step.figure or 0) for step in steps if step is not None)
    run = bar_run_m(job.case.plan, way)
    loop = job.case.layout.by_id[f"lead.PE.{way.name}"].loop_cm2 or 0.0
    bar = Markup(" ({} of it along the bar)").format(_shown(run, "m", 2)) if run else ""
    return Markup(
        "Laid so: line side {}{}, earth lead {}, together {}; the loop of earth and neutral lead {}. At the"
        " vehicle: {}."
    ).format(
        _shown(line, "m", 2),
        bar,
        _shown(earth, "m", 2),
        _shown(whole, "m", 2),
        _shown(loop, "cm²"),
        tag("strong", _shown(volts, "V")),
    )


def _shown(value: float, unit: str, places: int = 0) -> Markup:
    text = with_unit(number_text(value, places), unit)
    return tag("data", text, class_="read", value=full(value))
