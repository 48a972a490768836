"""Rendering: what a surge does at each charging point, as a table of the steps that say it."""

from __future__ import annotations

from firstway.checks.rule import Case
from firstway.rendering.figures import figure_html
from firstway.rendering.html import Markup, joined, sentence, table_html, tag
from firstway.rendering.working import assumed_mark, step_identity
from firstway.workings.shared.step import Step

SURGE_LIMITS = (
    "Changes are for a qualified person; makers say whether two devices agree. Simulated, 6 kV and"
    " 3 kA unless it says otherwise, nothing connected in the vehicle: order and slope are"
    " dependable, absolute volts are not. What a vehicle withstands only its maker can say: nothing"
    " here passes or fails. A device inside the point is not counted."
)
_TOLD = (
    "surge-at-vehicle-without-spd",
    "surge-at-board",
    "surge-at-vehicle",
    "surge-with-shorter-leads",
    "surge-with-first-way",
    "surge-with-second-spd",
    "surge-at-vehicle-line-to-earth",
    "surge-at-vehicle-line-to-neutral",
    "surge-at-vehicle-neutral-to-earth",
    "surge-at-vehicle-in-impulse",
    "surge-at-vehicle-in-ring-wave",
    "surge-at-vehicle-with-point-capacitor",
    "rise-between-earths-line-to-earth",
    "vehicle-test-level",
)


def surge_tables(case: Case) -> Markup:
    """A table for each charging point, each row leading to its step; what is not known says whom
    to ask.
    """
    installation = case.installation
    tables = []
    for point in installation.charging_points:
        found = (case.workings.find(name, point.name) for name in _TOLD)
        rows = [_row(step, installation.name) for step in found if step is not None]
        words = f"A surge that comes along the supply, at {point.name}"
        tables.append(table_html(("highest voltage", "figure"), rows, words, numbers=(1,)))
    return joined(tables) + tag("p", SURGE_LIMITS, class_="careful")


def _row(step: Step, installation: str) -> tuple[Markup, Markup]:
    link = tag("a", step.title, href=f"#{step_identity(step)}")
    ask = Markup(". {}").format(sentence(step.ask)) if step.value is None and step.ask else ""
    return link + ask + assumed_mark(step), figure_html(step, installation)
