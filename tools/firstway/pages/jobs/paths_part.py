"""Pages: the page of the paths of currents in a board, each on the wiring drawing.

For the trainee who wants to see what carries a fault's current, and for whoever tests.
"""

from collections.abc import Sequence
from itertools import groupby

from firstway.choosing.completing import Completed
from firstway.drawing.overlays import Overlay, overlaid, overlays_of
from firstway.drawing.sheet import Sheet as Drawing
from firstway.drawing.svg import Drawn
from firstway.drawing.wiring_diagram import wiring_layout
from firstway.pages.jobs.stages_part import PATHS_PAGE, STAGES_PAGE, stage_beside
from firstway.pages.shared.markup import inert
from firstway.pages.shared.picture import picture_html
from firstway.pages.shared.sheet import NOT_SEARCHED, PageSheet, part_mark
from firstway.rendering.html import (
    Markup,
    caution_html,
    caution_line,
    html_identity,
    tag,
)


def paths_page(completed: Completed, wiring: Drawn, layout: Drawing | None = None) -> PageSheet:
    """The page of the paths; `wiring` is the wiring diagram, drawn once and then only referred
    to, `layout` the same as a value, where it is made already.
    """
    installation = completed.installation
    drawing = layout or wiring_layout(completed)
    parts = {
        "caution": caution_html(),
        "whole": tag("div", picture_html(wiring), class_="whole"),
        "edition": tag("p", caution_line(installation.edition)),
    }
    text = [
        f"# Where the current flows: {inert(installation.title)}",
        (
            "For the trainee who wants to see what carries a current, and for whoever tests. [Back"
            f" to the job](index.md) · [Fitting by stage]({STAGES_PAGE}.md)"
        ),
        part_mark("caution"),
        "## The wiring {#wiring}",
        part_mark("whole"),
        "## The paths {#paths}",
        (
            "The band follows the metal that carries the current, as found in the wiring; an arrow"
            " shows one direction of it. It says nothing about voltage: what bears no band can be"
            " live."
        ),
    ]
    for kind, same in groupby(overlays_of(completed), lambda overlay: overlay.kind):
        overlays, name = tuple(same), f"path-{kind}"
        parts[name] = paths_html(overlays, drawing, wiring)
        text += [f"### {inert(_path_title(overlays))} {{#{name}}}", part_mark(name)]
    text += ["## Edition {#edition}", part_mark("edition")]
    return PageSheet(
        f"jobs/{installation.name}/{PATHS_PAGE}.md",
        f"Where the current flows: {installation.title}",
        NOT_SEARCHED + "\n\n".join(text) + "\n",
        parts,
        f"The paths of the currents in the board of {installation.title}.",
    )


def paths_html(overlays: Sequence[Overlay], drawing: Drawing, wiring: Drawn) -> Markup:
    """The paths of one kind: for the one thing it is told for, or each under its name; on paper two
    to a row.
    """
    pictures = [picture_html(overlaid(drawing, wiring, overlay)) for overlay in overlays]
    if len(overlays) == 1:
        return stage_beside(tag("p", overlays[0].words), pictures[0])
    items = [
        tag(
            "div",
            tag("h4", _path_name(overlay)),
            tag("p", overlay.words),
            picture,
            class_="path",
            id=html_identity("path", overlay.kind, overlay.of),
        )
        for overlay, picture in zip(overlays, pictures)
    ]
    return tag("div", *items, class_="paths")


def _path_name(overlay: Overlay) -> str:
    return overlay.title if overlay.kind.startswith("device-off") else overlay.of


def _path_title(overlays: Sequence[Overlay]) -> str:
    """The title of the one, or what all of its kind have in common."""
    if len(overlays) == 1 or not overlays[0].kind.startswith("device-off"):
        return overlays[0].title
    return (
        "What stays connected with a device off"
        if overlays[0].kind == "device-off"
        else "What would stay connected if a device opened the line only"
    )
