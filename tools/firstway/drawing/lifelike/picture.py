"""Lifelike view: the open box as the eye sees it, from the one plan: its stages in their order.

Everything before here hands on frozen values: the eye, bodies, tubes, their order, markers,
call-outs. Here they become one drawing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import ceil

from firstway.choosing.completing import Completed
from firstway.drawing.hands.close_up import CloseUp, close_ups, row_of
from firstway.drawing.lifelike.callouts import Callout, callout_svg, shown_between
from firstway.drawing.lifelike.cover import COVER
from firstway.drawing.lifelike.devices import SCREW_RECESS
from firstway.drawing.lifelike.eye import Eye, eye_to
from firstway.drawing.lifelike.framing import PAD, Framed, framed_for
from firstway.drawing.lifelike.groups import GroupWriter, short_prefix
from firstway.drawing.lifelike.letters import Marker, marker_svg, markers_on
from firstway.drawing.lifelike.lines import Tube
from firstway.drawing.lifelike.naming import (
    ScrewNumber,
    along_leader,
    bars_on_paper,
    called,
    cover_on_paper,
    screw_numbers,
    screws_on_paper,
    wanted_of,
)
from firstway.drawing.lifelike.scene import Scene, scene_of
from firstway.drawing.lifelike.seeing import Seen, line_is_free
from firstway.drawing.lifelike.shapes import disc
from firstway.drawing.lifelike.words import lifelike_words
from firstway.drawing.part_words import function_mark, in_words_of
from firstway.drawing.sheet import Point
from firstway.drawing.svg import (
    Drawn,
    cut_part,
    group_svg,
    least_width,
    shape,
    shown_part,
    svg_id,
    svg_number,
    told_by,
)
from firstway.drawing.title_block import foot
from firstway.frozen import dataclass
from firstway.layout.faults import SeenFlaw
from firstway.layout.plan import Layout
from firstway.model.installation import Installation
from firstway.rendering.html import Markup, joined


@dataclass(frozen=True)
class BoxPicture:
    """The whole drawing with what it was made of. `stages` are the places of the stages groups are
    fitted in, `runs` the ids of a conductor's stretches, by their names.
    """

    completed: Completed
    layout: Layout
    frame: Framed
    scene: Scene
    drawn: Drawn
    stages: Mapping[str, int]
    runs: Mapping[str, Sequence[str]]


def lifelike(completed: Completed, prefix: str = "", flaws: Sequence[SeenFlaw] = ()) -> Drawn:
    """The open box as SVG; ids begin with `prefix`; `flaws` are drawn as they look, and in a
    close-up each below it.
    """
    prefix = prefix or f"{completed.installation.name}-lifelike"
    return picture_of(completed, completed.case.layout, prefix, flaws).drawn


def box_pictured(completed: Completed, prefix: str) -> BoxPicture:
    """The same with what it was made of."""
    return picture_of(completed, completed.case.layout, prefix)


def picture_of(
    completed: Completed, layout: Layout, prefix: str, flaws: Sequence[SeenFlaw] = ()
) -> BoxPicture:
    """The same from a plan that is there already."""
    frame = framed_for(completed, layout)
    scene = scene_of(completed, layout, frame.eye, short_prefix(prefix), flaws)
    seen = Seen(scene.eye, scene.order.things, scene.tubes)
    faces = [text for body in (*scene.bodies, *scene.cover) for text in body.texts]
    rather = [
        *screws_on_paper(scene.eye, layout.parts),
        *bars_on_paper(scene.eye, layout.parts),
        *cover_on_paper(scene.eye, layout.fittings, frame.shift),
    ]
    numbers = screw_numbers(seen, layout.parts, [*faces, *rather])
    faced = [*faces, *(each.bounds for each in numbers)]
    wanted = wanted_of(completed, layout, scene, seen, frame)
    calls = called(wanted, frame, faced, rather=rather)
    numbers = tuple(  # one that a leader must cross is left out
        each
        for each in numbers
        if all(line_is_free(call.start, call.anchor, (each.bounds,)) for call in calls)
    )
    faces += [*rather, *(each.bounds for each in numbers)]
    covered = [text for call in calls for text in call.texts]
    leaders = [bounds for call in calls for bounds in along_leader(call)]
    words = [_mark_of(tube, completed.installation) for tube in scene.tubes]
    markers = markers_on(seen, scene.tubes, words, [*faces, *covered, *leaders])
    told_of = GroupWriter(completed, layout.parts, prefix)
    shown = close_ups(completed, flaws)
    drawn = _drawn(completed, layout, scene, calls, (*numbers, *markers), frame, told_of, shown)
    return BoxPicture(completed, layout, frame, scene, drawn, told_of.stages, told_of.runs)


def _mark_of(tube: Tube, installation: Installation) -> str:
    return function_mark(tube.mark, installation.rules) if tube.mark else ""


def _drawn(
    completed: Completed,
    layout: Layout,
    scene: Scene,
    calls: Sequence[Callout],
    markers: Sequence[Marker | ScrewNumber],
    frame: Framed,
    told_of: GroupWriter,
    shown: Sequence[CloseUp],
) -> Drawn:
    installation, prefix = completed.installation, told_of.prefix
    body = [*told_of.painted(scene)]
    marks: dict[str, list[Markup]] = {}
    for marker in markers:
        if isinstance(marker, Marker):
            marks.setdefault(marker.owner, []).append(marker_svg(marker))
            continue
        x, y = marker.at
        number = shape("text", marker.words, class_="zf zn", x=x, y=y)
        marks.setdefault(marker.bar, []).append(number)
    body += [told_of.group(name, joined(svg)) for name, svg in marks.items()]
    body += [
        shape(
            "g",
            callout_svg(call),
            class_=f"zcall{' cover' if _on_cover(call) else ''}{told_of.stage_word(call.name)}",
        )
        for call in calls
    ]
    low = max(
        frame.board[3],
        frame.cover[3],
        *(bounds[3] for call in calls for bounds in call.texts),
    )
    if shown:
        first = frame.margin if frame.eye.side > 0 else frame.board[0]
        row, _, low = row_of(shown, first, low + 14)
        body += [
            shape("g", group_svg(group, prefix, "start"), class_="zclose", text_anchor="start")
            for group in row
        ]
    head = in_words_of(installation, "The open board")
    below = foot(installation, head, frame.width, low + 14)
    feet = joined(group_svg(group, prefix, "middle") for group in below.groups)
    body.append(shape("g", feet, class_="zfoot"))
    height = float(ceil(below.bottom))
    title = f"{head}: {installation.title}"
    description = " ".join(
        (lifelike_words(completed, layout, scene.eye.side > 0), *(each.words for each in shown))
    )
    heading, desc, labels = told_by(title, description, prefix)
    left, right = _narrow(frame, calls)
    told = shown_between([each for each in calls if not _on_cover(each)], left, right)
    bottom = low if shown else max(frame.board[3], *(each.ring_bounds[3] for each in told)) + PAD
    cut = cut_part(frame.width, height - bottom)
    cropped = f"{shown_part(frame.width, left, right)} {cut}"
    symbols = _symbols(scene.eye, short_prefix(prefix))
    svg = shape(
        "svg",
        joined(("", heading, desc, shape("defs", symbols), *body, ""), "\n"),
        xmlns="http://www.w3.org/2000/svg",
        id=svg_id(prefix, "drawing"),
        class_=f"fw-drawing fw-lifelike fw-box {least_width(frame.width)} {cropped}",
        viewBox=f"0 0 {svg_number(frame.width)} {svg_number(height)}",
        role="img",
        aria_labelledby=labels,
        data_installation=installation.name,
        font_family="inherit",
        font_size=12,
        text_anchor="middle",
    )
    return Drawn(
        f"{svg}\n",
        description,
        frame.width,
        height,
        svg_id(prefix, "drawing"),
        title,
        tuple(in_one_line(call.lines) for call in told),
    )


def in_one_line(lines: Sequence[str]) -> str:
    """The words of a call-out as one line of a list."""
    return f"{lines[0]}: {' '.join(lines[1:])}" if len(lines) > 1 else lines[0]


def _on_cover(call: Callout) -> bool:
    return call.name.partition(".")[0] == COVER


def _narrow(frame: Framed, calls: Sequence[Callout]) -> tuple[float, float]:
    """From where to where a narrow screen shows the drawing: the box with its numbers."""
    beside = (
        (frame.margin - 24, frame.board[2] + 8)
        if frame.eye.side > 0
        else (frame.board[0] - 8, frame.margin + 24)
    )
    rings = [each.ring_bounds for each in calls if not _on_cover(each)]
    return (
        min([beside[0], *(ring[0] - 2 for ring in rings)]),
        max([beside[1], *(ring[2] + 2 for ring in rings)]),
    )


def _symbols(eye: Eye, prefix: str) -> Markup:
    """Screws and holes, drawn once."""
    still = eye_to(eye.side, eye.scale)
    at = (0.0, 0.0, 0.0)
    slot = still.step(-1.9, 1.2, 0), still.step(1.9, -1.2, 0)
    cross = still.step(-1.6, -1.6, 0), still.step(1.6, 1.6, 0)
    other = still.step(-1.6, 1.6, 0), still.step(1.6, -1.6, 0)

    def line(ends: tuple[Point, Point]) -> str:
        (x, y), (a, b) = ends
        return f"M{svg_number(x)} {svg_number(y)}L{svg_number(a)} {svg_number(b)}"

    symbols = {
        "screw": disc(still, 2, at, SCREW_RECESS, "zx zhole")
        + disc(still, 2, at, SCREW_RECESS * 0.8, "zx zz2")
        + shape("path", class_="ze", d=line(slot)),
        "cross": disc(still, 2, at, 2.9, "ze zz1")
        + shape("path", class_="zd", d=line(cross) + line(other)),
        "hole": disc(still, 2, at, 2.0, "zd zhole"),
        "top": disc(still, 1, at, 4.0, "zx zhole"),
        "side": disc(still, 0, at, 3.4, "zx zhole"),
    }
    return joined(shape("g", svg, id=f"{prefix}{name}") for name, svg in symbols.items())
