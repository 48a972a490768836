"""Lifelike view at one stage of fitting: the whole drawing once more by reference, what is new in
full ink and called out by its name, what was fitted before quiet, what comes later absent.

Small hardware is called out here: feet and screws, nuts and tags, teeth, blanks, labels.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import ceil

from firstway.drawing.lifelike.callouts import Callout, Wanted, callout_svg
from firstway.drawing.lifelike.cover import COVER, LABELS, THICK
from firstway.drawing.lifelike.framing import PAD
from firstway.drawing.lifelike.metalwork import loose_bar, loose_bar_svg
from firstway.drawing.lifelike.naming import called, seen_or_all, seen_outside, wanted_of
from firstway.drawing.lifelike.picture import BoxPicture, in_one_line
from firstway.drawing.lifelike.seeing import Seen, steps_of
from firstway.drawing.lifelike.shapes import flat, paper_bounds
from firstway.drawing.lifelike.words import callout_lines, torque_words
from firstway.drawing.part_words import spoken_part, spoken_terminal
from firstway.drawing.sheet import Point
from firstway.drawing.stages import AUTHORISED_STAGE, Stage
from firstway.drawing.svg import (
    Drawn,
    cut_part,
    group_svg,
    least_width,
    shape,
    shown_part,
    svg_number,
    told_by,
)
from firstway.drawing.title_block import foot
from firstway.layout.plan import XYZ, Fitting
from firstway.rendering.figures import figure_in_formula
from firstway.rendering.html import Markup, caution_line, joined
from firstway.wiring.graph import Conductor


def at_stage(
    picture: BoxPicture, stages: Sequence[Stage], place: int, whole: bool = False
) -> Drawn:
    """The drawing at a stage (counted from 1), cropped to the box or to the cover; `whole`: with
    cover and foot, for a file of its own.
    """
    stage, drawn, frame = stages[place - 1], picture.drawn, picture.frame
    prefix = f"{drawn.id}-stage-{stage.id}"
    seen = _seen_at(picture, place)
    faces = [
        text
        for body in (*picture.scene.bodies, *(picture.scene.cover if stage.id == "labels" else ()))
        if picture.stages.get(body.name, 1) <= place
        for text in body.texts
    ]
    left, right = (0.0, frame.width) if whole else _across(picture, stage)
    calls = called(_wanted_at(picture, seen, stages, place), frame, faces, (left, right))
    top, bottom = _down(picture, stage, calls)
    title = f"Stage {place}: {stage.title}"
    foot_svg = Markup()
    if whole:
        below = foot(picture.completed.installation, title, right - left, bottom + 14)
        foot_svg = joined(group_svg(group, prefix, "middle") for group in below.groups)
        top, bottom = 0.0, float(ceil(below.bottom))
    words = _words(picture, stages, place, calls)
    told, said, labels = told_by(title, words, prefix)
    reference = shape(
        "use",
        href=f"#{drawn.id}",
        width=drawn.width,
        height=drawn.height,
        class_=f"fw-stage-{place}",
    )
    body = [_through(picture, seen, place), *_marks(picture, stage)]
    body += [shape("g", callout_svg(call), class_="zcall") for call in calls]
    body += [shape("g", foot_svg, class_="zfoot")] if whole else []
    width, height = right - left, bottom - top
    narrow = _narrow(picture, stage, calls)
    least = frame.cover[3] if stage.id == "labels" else frame.board[3]
    least = max([least, *(call.ring_bounds[3] for call in calls)]) + PAD
    box = " ".join(svg_number(each) for each in (left, top, width, height))
    svg = shape(
        "svg",
        joined((told, said, reference, *body)),
        xmlns="http://www.w3.org/2000/svg",
        id=prefix,
        class_=f"fw-drawing fw-again fw-lifelike {least_width(width)} "
        + f"{shown_part(width, narrow[0] - left, narrow[1] - left)}"
        + f" {cut_part(width, 0.0 if whole else bottom - least)}",
        viewBox=box,
        role="img",
        aria_labelledby=labels,
        font_family="inherit",
        font_size=12,
        text_anchor="middle",
    )
    key = tuple(in_one_line(call.lines) for call in calls)
    return Drawn(f"{svg}\n", words, width, height, prefix, title, key)


_LABELS_ROOM = 510.0
"""Units across that the words under the cover take."""


def _across(picture: BoxPicture, stage: Stage) -> tuple[float, float]:
    """From where to where the sheet is shown: the cover, or the box."""
    frame = picture.frame
    if stage.id == "labels":
        middle = (frame.cover[0] + frame.cover[2]) / 2
        half = max((frame.cover[2] - frame.cover[0]) / 2 + PAD, _LABELS_ROOM / 2)
        return middle - half, middle + half
    if frame.eye.side > 0:
        return 0.0, frame.board[2] + PAD + 6
    return frame.board[0] - PAD - 6, frame.width


def _down(picture: BoxPicture, stage: Stage, calls: Sequence[Callout]) -> tuple[float, float]:
    frame = picture.frame
    texts = [text for call in calls for text in call.texts]
    if loose := stage.id == "bar" and loose_bar(picture.layout.parts):
        bodies = [paper_bounds(picture.scene.eye, each) for each in loose.bodies]
        texts += bodies
    top = min([frame.board[1], *(text[1] for text in texts)]) - PAD
    return top, max([frame.board[3], *(text[3] for text in texts)]) + PAD


def _narrow(picture: BoxPicture, stage: Stage, calls: Sequence[Callout]) -> tuple[float, float]:
    """What a narrow screen shows: the box, or the cover where that is what is worked on, with every
    ring of a number.
    """
    frame = picture.frame
    if stage.id == "labels":
        edges = frame.cover[0] - 8, frame.cover[2] + 8
    elif frame.eye.side > 0:
        edges = frame.margin - 24, frame.board[2] + 8
    else:
        edges = frame.board[0] - 8, frame.margin + 24
    rings = [call.ring_bounds for call in calls]
    return (
        min([edges[0], *(ring[0] - 2 for ring in rings)]),
        max([edges[1], *(ring[2] + 2 for ring in rings)]),
    )


def _seen_at(picture: BoxPicture, place: int) -> Seen:
    """What hides what while later things are still absent."""
    scene, stages = picture.scene, picture.stages

    def stands(name: str) -> bool:
        return stages.get(name.removeprefix("wire."), 1) <= place

    things = [
        thing
        for thing in scene.order.things
        if stands(thing.body.name if thing.body else scene.tubes[thing.tube].name)
    ]
    return Seen(scene.eye, things, scene.tubes)


# What is new


def _wanted_at(
    picture: BoxPicture, seen: Seen, stages: Sequence[Stage], place: int
) -> list[Wanted]:
    """What is new, by its name: parts and entries as in the whole drawing, hardware, conductors."""
    stage = stages[place - 1]

    def asked(name: str) -> bool:
        new = picture.stages.get(name) == place
        return new and name not in _OTHERWISE and not name.startswith(_apart(stage))

    found = wanted_of(picture.completed, picture.layout, picture.scene, seen, picture.frame, asked)
    make = _MORE.get(stage.id)
    more = list(make(picture, seen, stage)) if make else []
    more += _conductors(picture, seen, stage)
    return [*found, *more]


def _apart(stage: Stage) -> tuple[str, ...]:
    """What is called out by words of this stage's own."""
    return ("wire.", "opening.") if stage.id == "enclosure" else ("wire.",)


def _want(picture: BoxPicture, name: str, points: Iterable[XYZ], *lines: str) -> list[Wanted]:
    """A call-out in the margin beside the box; none where there is nothing to point at."""
    eye = picture.scene.eye
    anchors = tuple(eye.at(point) for point in points)
    words = callout_lines(picture.completed.installation, *lines)
    return [Wanted(name, words, anchors, "left" if eye.side > 0 else "right")] if anchors else []


def _fittings(picture: BoxPicture, kind: str, of: str = "") -> list[Fitting]:
    return [
        each for each in picture.layout.fittings if each.kind == kind and (not of or each.of == of)
    ]


def _tops(fittings: Iterable[Fitting]) -> list[XYZ]:
    """The middles of their faces."""
    return [
        (each.body.middle(0), each.body.middle(1), each.body.high[2] + 0.1) for each in fittings
    ]


def _of_fittings(
    picture: BoxPicture, seen: Seen, kind: str, own: tuple[str, ...], *lines: str, of: str = ""
) -> list[Wanted]:
    points = _tops(_fittings(picture, kind, of))
    return _want(picture, kind, seen_or_all(seen, own, points), *lines)


def _before(picture: BoxPicture, seen: Seen, stage: Stage) -> Iterator[Wanted]:
    outer = picture.layout.parts.outer
    point = outer.middle(0), outer.middle(1), 0.0
    yield from _want(picture, "enclosure", [point], "place of the board", "nothing is fitted yet")


def _enclosure(picture: BoxPicture, seen: Seen, stage: Stage) -> Iterator[Wanted]:
    parts = picture.layout.parts
    yield from _of_fittings(picture, seen, "mounting-screw", (), "screws", "into the wall")
    for opening in parts.openings:
        what = ("hole", "for the gland of") if opening.gland else ("bush", "for")
        points = [opening.at]
        if not opening.gland:
            own = f"opening.{opening.name}"
            boxes = [each.box for each in picture.scene.bodies if each.name == own]
            points = [(box.middle(0), box.middle(1), box.high[2]) for box in boxes[-1:]]
        yield from _want(
            picture, f"hole.{opening.name}", points, what[0], f"{what[1]} {opening.name}"
        )


def _rail(picture: BoxPicture, seen: Seen, stage: Stage) -> Iterator[Wanted]:
    yield from _of_fittings(picture, seen, "rail-screw", ("rail",), "rail screw", "on its foot")
    bar = next((each for each in picture.layout.parts.bars if each.kind == "neutral-bar"), None)
    if bar is not None:
        own = (bar.name, "enclosure")
        yield from _of_fittings(
            picture, seen, "bar-foot", own, "foot", "insulates the bar", of=bar.name
        )


def _earth(picture: BoxPicture, seen: Seen, stage: Stage) -> Iterator[Wanted]:
    yield from _of_fittings(
        picture,
        seen,
        "earth-bolt",
        ("enclosure", "enclosure.PE"),
        "screw to the metal",
        "no paint under it",
    )


def _bar(picture: BoxPicture, seen: Seen, stage: Stage) -> Iterator[Wanted]:
    bar = loose_bar(picture.layout.parts)
    if bar is None:
        return
    used = [each for each in bar.teeth if each.line]
    points = [(each.box.middle(0), each.box.middle(1), each.box.high[2]) for each in used]
    lines = dict.fromkeys(each.line for each in used)
    order = f", {' '.join(lines)} in turn" if len(lines) > 1 else ""
    pitch = figure_in_formula(bar.pitch_mm)
    yield from _want(
        picture, "teeth", points, "teeth", f"{len(used)} in use, pitch {pitch} mm{order}"
    )
    caps = [(each.middle(0), each.middle(1), each.high[2]) for each in bar.caps]
    yield from _want(picture, "caps", caps, "end caps", "on each cut end")
    free = [each.box for each in bar.teeth if not each.line]
    covers = [(each.middle(0), each.middle(1), each.high[2]) for each in free]
    yield from _want(picture, "tooth-cover", covers, "cover", "on a free tooth")


def _below(picture: BoxPicture, name: str, at: tuple[float, float], *lines: str) -> Wanted:
    """A call-out under the cover."""
    x, y = at
    anchor = picture.scene.eye.at((picture.frame.shift + x, y, THICK))
    words = callout_lines(picture.completed.installation, *lines, width=84.0)
    return Wanted(name, words, (anchor,), "bottom")


def _labels(picture: BoxPicture, seen: Seen, stage: Stage) -> Iterator[Wanted]:
    cover = picture.layout.parts.cover
    if cover.labels:
        _, strip = cover.labels[0]
        at = strip.middle(0), strip.high[1] - 1.5
        yield _below(picture, LABELS, at, "label", "of each way: what it feeds")
    for kind, *lines in (
        ("warning-label", "warning", "voltage inside"),
        ("test-notice", "notice", "press the test button"),
        ("inspection-label", "notice", "date of the next inspection"),
    ):
        for each in _fittings(picture, kind):
            yield _below(picture, kind, (each.body.middle(0), each.body.high[1] - 2), *lines)


def _outgoing(picture: BoxPicture, seen: Seen, stage: Stage) -> Iterator[Wanted]:
    """Nut and tag of one gland stand for all."""
    glands = [each for each in picture.layout.parts.openings if each.gland and each.side != "back"]
    for opening in glands[:1]:
        name = f"opening.{opening.name}"
        nut = next((each.box for each in picture.scene.bodies if each.name == name), None)
        if nut is not None:
            near = nut.low[0] + nut.size(0) * (0.08 if picture.scene.eye.side > 0 else 0.92)
            height = nut.low[1] if opening.side == "bottom" else nut.middle(1)
            point = near, height, nut.middle(2)
            yield from _want(picture, f"nut.{opening.name}", [point], "locknut")
        words = "earth tag", "bolted: earths the armour"
        yield from _of_fittings(picture, seen, "earth-tag-bolt", (name,), *words, of=opening.name)


def _torque(picture: BoxPicture, seen: Seen, stage: Stage) -> Iterator[Wanted]:
    """What each device's screws are tightened to."""
    installation, eye = picture.completed.installation, picture.scene.eye
    for device in picture.layout.parts.devices:
        words = torque_words(installation, device.name)
        if not words:
            continue
        nose = device.nose
        anchor = eye.at((nose.middle(0), nose.low[1] + 1.2, nose.high[2]))
        yield Wanted(device.name, callout_lines(installation, device.name, *words, width=104.0),
                     (anchor,), "top")  # fmt: skip


def _tails(picture: BoxPicture, seen: Seen, stage: Stage) -> Iterator[Wanted]:
    yield from _far_ends(picture, "far ends", "free, capped, in sight")


def _supply_end(picture: BoxPicture, seen: Seen, stage: Stage) -> Iterator[Wanted]:
    yield from _far_ends(picture, "far ends", f"joined now: {AUTHORISED_STAGE}")


def _far_ends(picture: BoxPicture, *lines: str) -> list[Wanted]:
    opening = picture.layout.parts.opening("feed")
    if opening is None:
        return []
    points = seen_outside(picture.scene, "feed", "cable.feed", opening.at)
    return _want(picture, "far-ends", points, *lines)


def _tests(picture: BoxPicture, seen: Seen, stage: Stage) -> Iterator[Wanted]:
    """Which devices the tests are about."""
    words = _TESTS[stage.id]
    for device in picture.layout.parts.devices:
        if device.kind in words:
            nose, eye = device.nose, picture.scene.eye
            anchor = eye.at((nose.middle(0), nose.low[1] + 1.2, nose.high[2]))
            lines = callout_lines(
                picture.completed.installation, device.name, words[device.kind], width=104.0
            )
            yield Wanted(device.name, lines, (anchor,), "top")


# common practice; the list of tests says more
_TESTS = {
    "dead-tests": {
        "main-switch": "off",
        "spd": "out or disconnected for insulation",
        "rcbo": "continuity, insulation, polarity",
        "circuit-breaker": "continuity, insulation, polarity",
    },
    "live-tests": {
        "main-switch": "voltage, polarity",
        "spd": "see its indicator",
        "rcbo": "loop, trip, test button",
        "rcd": "trip, test button",
        "circuit-breaker": "loop",
    },
}
_OTHERWISE = (COVER,)
_MORE = {
    "before": _before,
    "enclosure": _enclosure,
    "rail": _rail,
    "earth": _earth,
    "bar": _bar,
    "outgoing": _outgoing,
    "torque": _torque,
    "dead-tests": _tests,
    "labels": _labels,
    "tails": _tails,
    "supply-end": _supply_end,
    "live-tests": _tests,
}


def _conductors(picture: BoxPicture, seen: Seen, stage: Stage) -> list[Wanted]:
    """Each conductor that is new, with its ends."""
    wiring = picture.completed.case.wiring.drawn
    known = {each.id: each for each in wiring.conductors}
    tubes = {each.name.removeprefix("wire."): each for each in picture.scene.tubes}
    found: list[Wanted] = []
    for name in stage.conductors:
        conductor, tube = known[name], tubes.get(name)
        if tube is None or conductor.kind == "armour":
            continue
        eye = picture.scene.eye
        points = [point for _, point, _ in seen.along_tube(tube)]
        points.sort(key=lambda each: eye.side * eye.at(each)[0])
        if not points:
            points = [tube.pieces[len(tube.pieces) // 2][0]]
        found += _want(
            picture,
            tube.name,
            [*points[1:], *points[:1]],
            *_conductor_words(picture, conductor),
        )
    return found


def _conductor_words(picture: BoxPicture, conductor: Conductor) -> tuple[str, str]:
    """What it is, and what it joins."""
    laid = picture.layout.by_id.get(conductor.id)
    kind = {"lead": "SPD lead", "link": "link"}.get(conductor.kind, "conductor")
    length = (
        f", {figure_in_formula(round(laid.cutting_m, 2))} m to cut" if laid and laid.inside else ""
    )
    wiring = picture.completed.case.wiring.drawn
    start, end = (spoken_terminal(wiring, each) for each in (conductor.start, conductor.end))
    ends = f"{start} to {end}"
    return f"{conductor.function} {kind}", f"{ends}{length}"


# Marks


def _through(picture: BoxPicture, seen: Seen, place: int) -> Markup:
    """New conductors once more where something hides them, as if it could be seen through."""
    eye, found = picture.scene.eye, []
    for tube in picture.scene.tubes:
        if picture.stages.get(tube.name.removeprefix("wire.")) != place:
            continue
        if len(seen.along_tube(tube)) == sum(map(steps_of, tube.pieces)):
            continue
        wide = 2 * tube.radius * eye.scale
        found += [
            shape("use", href=f"#{run}", class_=f"y{ink}", stroke_width=wide * (0.36 if on else 1))
            for run in picture.runs.get(tube.name, ())
            for on, ink in enumerate(tube.inks)
        ]
    return shape("g", *found, class_="zthrough") if found else Markup()


def _marks(picture: BoxPicture, stage: Stage) -> list[Markup]:
    parts, eye = picture.layout.parts, picture.scene.eye
    if stage.id == "before":
        (x0, y0, z0), (x1, y1, _) = parts.outer.low, parts.outer.high
        around = (x0, y0, z0), (x1, y0, z0), (x1, y1, z0), (x0, y1, z0)
        return [shape("g", flat(eye, around, "zlead"), stroke_dasharray="8 5", class_="znew")]
    if stage.id == "bar" and (bar := loose_bar(parts)):
        return [shape("g", loose_bar_svg(eye, bar))]
    if stage.id != "torque":
        return []
    spots = [
        eye.at((*spot.at[:2], device.body.high[2]))
        for device in parts.devices
        if device.kind != "blank"
        for name, spot in parts.spots.items()
        if name.startswith(f"{device.name}.")
    ]
    spots += [
        eye.at((*spot.at[:2], bar.box.high[2]))
        for bar in parts.bars
        for name, spot in parts.spots.items()
        if name.startswith(f"{bar.name}.")
    ]
    return [shape("path", class_="zscrews", d=_dots(spots), stroke_width=7.4 * eye.scale)]


def _dots(spots: Sequence[Point]) -> str:
    """Points as strokes without length: round ends make discs of them."""
    return "".join(f"M{svg_number(x)} {svg_number(y)}h0" for x, y in spots)


def _words(
    picture: BoxPicture, stages: Sequence[Stage], place: int, calls: Sequence[Callout]
) -> str:
    """The alternative text: what is new, what is quiet, the caution."""
    stage = stages[place - 1]
    parts = [spoken_part(picture.completed, name) for name in stage.parts]
    named = [in_one_line(call.lines) for call in calls if call.name not in stage.parts]
    new = "; ".join(dict.fromkeys((*parts, *named)))
    return (
        f"Stage {place} of {len(stages)}, {stage.title}: {new or 'nothing new is fitted'}."
        " What was fitted before is pale, what comes later is left out. "
        + caution_line(picture.completed.installation.edition)
    )
