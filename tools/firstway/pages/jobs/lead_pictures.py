"""Pages: the leads of a surge protective device as they may lie in one board, each way drawn, with
what it costs: laid, worked and run as any board is.
"""

from __future__ import annotations

from dataclasses import replace

from firstway.choosing.completing import Completed
from firstway.choosing.lead_ways import LeadFigures, job_with_leads
from firstway.drawing.lifelike.picture import lifelike
from firstway.pages.shared.picture import picture_html
from firstway.rendering.figures import full, number_text, with_unit
from firstway.rendering.html import Markup, tag

LEAD_PICTURES = {
    "first-way": "The device in the first way, its leads by the shortest way",
    "last-way": "The device in the last way, its leads as short as they can be there",
    "on-a-tour": "The device in the first way, a lead tidied along the walls",
}


def lead_picture(job: Completed, name: str) -> Markup | None:
    """The board with its leads so, and below it what they come to; None where it holds no working
    device, or its figures are not known.
    """
    worked = job_with_leads(job, name)
    told = worked and leads_told(worked)
    if worked is None or not told:
        return None
    drawn = lifelike(worked, f"{job.installation.name}-leads-{name}")
    return picture_html(replace(drawn, title=LEAD_PICTURES[name])) + tag(
        "p", told, class_="cite cited"
    )


def leads_told(job: Completed) -> Markup | None:
    """Lengths, loop and volts in a line; None where something of it is not known."""
    of = LeadFigures.of(job)
    if of is None:
        return None
    loop, run = of.loop_cm2, of.along_bar_m
    return Markup("Laid so: line side {}{}, {} lead {}, together {}{}. At the vehicle: {}.").format(
        _shown(of.line_m, "m", 2),
        Markup(" ({} of it along the bar)").format(_shown(run, "m", 2)) if run else "",
        side_word(job, of.path.side),
        _shown(of.lead_m, "m", 2),
        _shown(of.whole_m, "m", 2),
        Markup("; its loop with the lead beside it {}").format(_shown(loop, "cm²")) if loop else "",
        tag("strong", _shown(of.vehicle_v, "V")),
    )


def side_word(job: Completed, side: str) -> str:
    """A side of the device as the rule set of the job calls it."""
    return "ground" if side == "earth" and job.installation.rules == "nec" else side


def _shown(value: float, unit: str, places: int = 0) -> Markup:
    text = with_unit(number_text(value, places), unit)
    return tag("data", text, class_="read", value=full(value))
