"""Drawing, pictures for the hands: the gland of an armoured cable, cut along the cable and taken
apart.

The cable comes from below; the inside of the enclosure is above. Places are in mm from the cable's
axis and down from the inner side of the wall.
"""

from collections.abc import Sequence
from dataclasses import replace

from firstway.choosing.completing import Completed
from firstway.drawing.hands.figures import of_row
from firstway.drawing.hands.frame import (
    SHEET_WIDTH,
    Detail,
    Made,
    Panel,
    ShownFigure,
    group,
    sheet_of,
)
from firstway.drawing.hands.strokes import (
    Drawables,
    Scale,
    body,
    call,
    conductor,
    cut,
    edge_line,
    lines,
    ring,
    words,
)
from firstway.drawing.sheet import FINE, HAIR, LINE, Box, Group, Point, Strands, Stroke
from firstway.frozen import dataclass
from firstway.model.values import is_known
from firstway.tables.reading import Gap, Row, column_word, gland_row

_WALL_MM, _TAG_MM, _NUT_MM = 1.6, 1.5, 3.6
_PAINT_MM = 0.8  # mm; drawn thicker than it is, to be seen
_DRAWN_CORES = 3
_BORE, _CORE = 0.6, 0.44  # of the thread's radius: bore of the body, room of the cores


@dataclass(frozen=True)
class ArmourGland:
    """A gland for armour: its thread and the width over its nut in mm. `outdoors`: it also seals on
    the outer sheath, and has a shroud. `wires_short`: the armour ends before the cone.
    `end` is where the cable is broken off, in widths of the nut below the wall.
    """

    thread_mm: float
    nut_mm: float
    outdoors: bool = False
    wires_short: bool = False
    end: float = 0.0


def gland_section(of: ArmourGland, thread: str) -> Detail:
    """The gland cut along the cable, with its parts named."""
    per_mm = 140.0 / of.nut_mm
    at = Scale(202.0, 118.0, per_mm)
    groups = gland_groups(of, at, 108.0, SHEET_WIDTH - 2)
    low = _end(of)
    points = section_points(of, at)
    names = _names(of, points, thread)
    return Detail(SHEET_WIDTH, at.at(0, low)[1] + 4, (*groups, group("names", names)), points)


def gland_groups(of: ArmourGland, at: Scale, left: float, right: float) -> tuple[Group, ...]:
    """The parts without words; the wall lies between two places on the paper."""
    return (
        group("wall", _wall(of, at, left, right), title="Wall of the enclosure"),
        group("cores", _cores(of, at), title="Cores"),
        group("bedding", _bedding(of, at), title="Bedding: the sheath under the armour"),
        group("sheath", _sheath(of, at), title="Outer sheath"),
        group("armour", _armour(of, at), title="Armour: steel wires, opened over the cone"),
        group("body", _both(at, _body_shape(of), "zm2"), title="Body with its cone"),
        group("nut", _both(at, _nut_shape(of), "zm3", -1), title="Nut: it presses the armour"),
        *(
            [
                group("washer", _washer(of, at), title="Washer, which seals the hole"),
                group("seal", _both(at, _seal_shape(of), "zk1"), title="Seal on the sheath"),
                group("seal-nut", _both(at, _seal_nut_shape(of), "zm2"), title="Nut of the seal"),
                group("shroud", _both(at, _shroud_shape(of), "zk2", step=20.0), title="Shroud"),
            ]
            if of.outdoors
            else []
        ),
        group("tag", _tag(of, at), title="Earth tag"),
        group("locknut", _both(at, _locknut_shape(of), "zm2", -1), title="Locknut"),
        group("earth", _earth(of, at, right - 4), title="Conductor from the tag to the earth bar"),
    )


def gland_panel(of: ArmourGland, paint_under_tag: bool = False) -> Detail:
    """The gland as wide as half a sheet, in a painted steel wall, without words; a ring marks what
    is wrong: wires that end before the cone, paint under the tag, no seal on the sheath.
    """
    at = Scale(72.0, 60.0, 96.0 / of.nut_mm)
    points = section_points(of, at)
    parts = {each.id: each for each in gland_groups(of, at, 4.0, 190.0)}
    parts["paint"] = group("paint", _paint(of, at, 4.0, 190.0, paint_under_tag), title="Paint")
    for thin in {"bedding", "sheath", "shroud"} & parts.keys():
        # thin parts of a section are filled, not hatched (ISO 128)
        filled = tuple(each for each in parts[thin].items if isinstance(each, Stroke))
        parts[thin] = replace(parts[thin], items=filled)
    # few groups, and what is alike in all panels in groups of its own: it is written once
    together = (
        ("wall",),
        ("paint",),
        ("cores", "bedding", "sheath"),
        ("armour",),
        ("body", "tag", "locknut"),
        ("nut", "washer", "seal", "seal-nut", "shroud"),
        ("earth",),
    )
    groups = [
        group(names[0], *(parts[name].items for name in names if name in parts))
        for names in together
    ]
    h, sheath = of.nut_mm, _sizes(of)[3]
    wrong = None
    if of.wires_short:
        wrong = points["armour"]
    elif paint_under_tag:
        wrong = at.at(h * 0.6, _PAINT_MM / 2)
    elif not of.outdoors:
        wrong = at.at(sheath + 0.2, h * 0.84)
    if wrong:
        points["wrong"] = wrong
        groups.append(group("wrong", (ring(*wrong, 12),)))
    return Detail(194, at.at(0, _end(of))[1] + 4, tuple(groups), points)


def _paint(of: ArmourGland, at: Scale, left: float, right: float, under_tag: bool) -> Drawables:
    """Paint on the inner side of the wall, as far as the tag or to the hole."""
    out, hole = of.nut_mm / 2, of.thread_mm / 2 + 0.15
    bare = (hole, hole) if under_tag else (out + 1, out * 1.75)
    ends = (left - at.x) / at.per_mm, (right - at.x) / at.per_mm
    return (
        body(at.block(ends[0], 0, -bare[0], _PAINT_MM), "red", HAIR),
        body(at.block(bare[1], 0, ends[1], _PAINT_MM), "red", HAIR),
    )


def _end(of: ArmourGland) -> float:
    """Where the drawing ends, in mm below the wall."""
    return of.nut_mm * (of.end or (1.66 if of.outdoors else 1.27))


# lengths follow the width over the nut, so that glands of every size look alike
def _sizes(of: ArmourGland) -> tuple[float, float, float, float, float, float]:
    """Radii: thread, outside, bore, sheath outside, sheath inside, bedding inside."""
    r, out = of.thread_mm / 2, of.nut_mm / 2
    bore = r * _BORE
    inner = bore - 0.3
    wire = r * 0.1
    return r, out, bore, inner + 2 * wire + r * 0.16, inner + 2 * wire, r * _CORE


def _wires(of: ArmourGland) -> float:
    return of.thread_mm * 0.1


def _both(
    at: Scale, points_mm: Sequence[Point], tone: str, lean: int = 1, step: float = 12.0
) -> Drawables:
    """What is cut on the right of the axis and, mirrored, on its left."""
    right = at.path(*points_mm)
    left = at.path(*((-x, y) for x, y in points_mm))
    return (*cut(right, tone, lean, step), *cut(left, tone, -lean, step))


def _wall(of: ArmourGland, at: Scale, from_x: float, to_x: float) -> Drawables:
    r = of.thread_mm / 2 + 0.15
    left, right = (from_x - at.x) / at.per_mm, (to_x - at.x) / at.per_mm
    return (
        *cut(at.block(left, 0, -r, _WALL_MM), "zs2", 1, 8.0),
        *cut(at.block(r, 0, right, _WALL_MM), "zs2", 1, 8.0),
    )


def _body_shape(of: ArmourGland) -> list[Point]:
    r, out, bore, _, _, _ = _sizes(of)
    h = of.nut_mm
    return [
        (bore, -h * 0.22),
        (r, -h * 0.22),
        (r, _WALL_MM),
        (out, _WALL_MM),
        (out, _WALL_MM + h * 0.18),
        (r, _WALL_MM + h * 0.18),
        (r, h * 0.42),
        (r * 0.96, h * 0.44),
        (bore + 0.35, h * 0.66),
        (bore, h * 0.66),
    ]


def _nut_shape(of: ArmourGland) -> list[Point]:
    r, out, bore, sheath, _, _ = _sizes(of)
    h, wire = of.nut_mm, _wires(of)
    # outdoors its foot has a thread for the nut of the seal
    foot = (
        [(out, h * 0.68), (out * 0.84, h * 0.68), (out * 0.84, h * 0.88)]
        if of.outdoors
        else [(out, h * 0.78), (out * 0.88, h * 0.86)]
    )
    return [
        (r + 0.2, h * 0.28),
        (out, h * 0.28),
        *foot,
        (sheath + 0.25, h * (0.88 if of.outdoors else 0.86)),
        (sheath + 0.25, h * 0.74),
        (bore + 0.35 + wire * 1.25, h * 0.66),
        (r * 0.96 + wire * 1.25, h * 0.44),
        (r + 0.2, h * 0.41),
    ]


def _seal_shape(of: ArmourGland) -> list[Point]:
    _, out, _, sheath, _, _ = _sizes(of)
    h = of.nut_mm
    return [
        (sheath, h * 0.9),
        (out * 0.8, h * 0.9),
        (out * 0.8, h * 0.98),
        (sheath, h * 1.02),
    ]


def _seal_nut_shape(of: ArmourGland) -> list[Point]:
    _, out, _, sheath, _, _ = _sizes(of)
    h = of.nut_mm
    return [
        (out * 0.86, h * 0.72),
        (out, h * 0.72),
        (out, h * 1.12),
        (out * 0.88, h * 1.18),
        (sheath + 0.25, h * 1.18),
        (sheath + 0.25, h * 1.05),
        (out * 0.82, h * 1.0),
        (out * 0.82, h * 0.9),
        (out * 0.86, h * 0.9),
    ]


def _shroud_shape(of: ArmourGland) -> list[Point]:
    _, out, _, sheath, _, _ = _sizes(of)
    h = of.nut_mm
    return [
        (out + 0.5, _WALL_MM + 0.4),
        (out + 1.5, _WALL_MM + 0.4),
        (out + 1.5, h * 1.16),
        (sheath + 1.0, h * 1.42),
        (sheath, h * 1.42),
        (sheath, h * 1.36),
        (out + 0.5, h * 1.12),
    ]


def _locknut_shape(of: ArmourGland) -> list[Point]:
    r, out, _, _, _, _ = _sizes(of)
    return [
        (r, -_TAG_MM - _NUT_MM),
        (out, -_TAG_MM - _NUT_MM),
        (out, -_TAG_MM),
        (r, -_TAG_MM),
    ]


def _washer(of: ArmourGland, at: Scale) -> Drawables:
    r, out, _, _, _, _ = _sizes(of)
    low = _WALL_MM + 0.9
    return (
        body(at.block(-out, _WALL_MM, -r, low), "zk3", HAIR),
        body(at.block(r, _WALL_MM, out, low), "zk3", HAIR),
    )


def _tag(of: ArmourGland, at: Scale) -> Drawables:
    r, out, _, _, _, _ = _sizes(of)
    left = at.path((-r, -_TAG_MM), (-out - 1, -_TAG_MM), (-out - 1, 0), (-r, 0))
    right = at.path((r, -_TAG_MM), (out * 1.75, -_TAG_MM), (out * 1.75, 0), (r, 0))
    return body(left, "zz1"), body(right, "zz1")


def _earth(of: ArmourGland, at: Scale, right: float) -> Drawables:
    """Bolt through the tag with a lug under its nut, and the conductor to the earth bar."""
    out = of.nut_mm / 2
    x, half = out * 1.48, of.nut_mm * 0.055
    mid = -_TAG_MM - 2.6
    # outdoors a washer under its head closes the hole of the bolt too
    wide = round(of.nut_mm * at.per_mm * 0.0786, 1)
    head = _WALL_MM + (0.9 if of.outdoors else 0.0)
    sealed = (body(at.block(x - half * 2.3, _WALL_MM, x + half * 2.3, head), "zk3", HAIR),)
    wire = at.path((x, mid - 1.5), (x, mid - of.nut_mm * 0.16), (x + 4.0, -of.nut_mm * 0.44))
    return (
        conductor((*wire, (right, wire[-1][1] - 6)), wide, "green-and-yellow", 14),
        body(at.block(x - half, -_TAG_MM - 1.0, x + half, head), "zz1", HAIR),
        *(sealed if of.outdoors else ()),
        body(at.block(x - half * 1.9, head, x + half * 1.9, head + 1.8), "zz2", HAIR),
        body(
            at.path(
                (x - half * 1.7, mid - 2.4),
                (x + half * 1.7, mid - 2.4),
                (x + half * 1.9, -_TAG_MM - 0.9),
                (x + half * 1.9, -_TAG_MM),
                (x - half * 1.9, -_TAG_MM),
                (x - half * 1.9, -_TAG_MM - 0.9),
            ),
            "zc1",
            HAIR,
        ),
        body(at.block(x - half * 1.7, mid - 0.2, x + half * 1.7, -_TAG_MM - 0.7), "zz2", HAIR),
    )


def _cores(of: ArmourGland, at: Scale) -> Drawables:
    room = _sizes(of)[5]
    wide = room * 2 / 3 * at.per_mm - 1.2
    top, low = -of.nut_mm * 0.36, _end(of)
    found: list[Strands] = []
    for place, colour in ((-1, "blue"), (1, "green-and-yellow"), (0, "brown")):
        x = place * room * 2 / 3
        spread = place * of.nut_mm * 0.2
        found.append(
            conductor(
                at.path((x, low), (x, top), (x + spread, -of.nut_mm * 0.58)), wide, colour, 10
            )
        )
    return tuple(found)


def _bedding(of: ArmourGland, at: Scale) -> Drawables:
    _, _, bore, _, _, core = _sizes(of)
    h = of.nut_mm
    return _both(
        at,
        [(core, -h * 0.34), (bore - 0.3, -h * 0.34), (bore - 0.3, _end(of)), (core, _end(of))],
        "zk2",
        step=20.0,
    )


def _sheath(of: ArmourGland, at: Scale) -> Drawables:
    _, _, _, sheath, inner, _ = _sizes(of)
    h = of.nut_mm
    return _both(
        at,
        [(inner, h * 0.8), (sheath, h * 0.8), (sheath, _end(of)), (inner, _end(of))],
        "zk1",
        -1,
        20.0,
    )


def _armour(of: ArmourGland, at: Scale) -> Drawables:
    r, _, bore, _, _, _ = _sizes(of)
    h, wire = of.nut_mm, _wires(of)
    path = [
        (bore - 0.3 + wire / 2, _end(of)),
        (bore - 0.3 + wire / 2, h * 0.7),
        (bore + 0.35 + wire * 0.62, h * 0.65),
        (r * 0.96 + wire * 0.62, h * 0.445),
    ]
    wide = wire * at.per_mm

    def on_both_sides(places: Sequence[Point], tone: str) -> Strands:
        right, left = (at.path(*((side * x, y) for x, y in places)) for side in (1, -1))
        return Strands(right, (("zline", wide, ""), (tone, wide - 1.8, "")), more=(left,))

    if of.wires_short:  # the room on the cone stays empty
        return (on_both_sides(path[:2], "zz3"),)
    return (on_both_sides(path, "zz3"),)


def section_points(of: ArmourGland, at: Scale) -> dict[str, Point]:
    r, out, bore, sheath, inner, core = _sizes(of)
    h, wire = of.nut_mm, _wires(of)
    points = {
        "locknut": at.at(-out + 1.5, -_TAG_MM - _NUT_MM / 2),
        "tag": at.at(-out - 0.4, -_TAG_MM / 2),
        "wall": at.at(-out * 1.22, _WALL_MM / 2),
        "body": at.at(-out + 1.5, _WALL_MM + h * 0.1),
        "nut": at.at(-out + 1.5, h * 0.6),
        "washer": at.at(out - 0.8, _WALL_MM + 0.5),
        "cone": at.at(bore + 1.4, h * 0.52),
        "armour": at.at((bore + 0.35 + r * 0.96) / 2 + wire * 0.62, h * 0.55),
        "sheath": at.at(-(sheath + inner) / 2, _end(of) - 3),
        "bedding": at.at((bore - 0.3 + core) / 2, _end(of) - 2),
        "earth": at.at(out * 1.48, -_TAG_MM - 2.0),
        "seal": at.at(out * 0.72, h * 0.95),
        "shroud": at.at(out + 1.0, h * 1.06),
        "cores": at.at(-of.nut_mm * 0.2, -of.nut_mm * 0.54),
        "N": at.at(-core * 2 / 3 - h * 0.2, -h * 0.74),
        "L": at.at(0, -h * 0.74),
        "PE": at.at(core * 2 / 3 + h * 0.2, -h * 0.74),
    }
    return points


def _names(of: ArmourGland, at: dict[str, Point], thread: str) -> Drawables:
    letters = [each for name in ("N", "L", "PE") for each in words(*at[name], name, "middle")]
    return (
        *letters,
        *call(4, at["cores"][1] + 6, "cores|to the board", at["cores"]),
        *call(4, at["locknut"][1] - 6, "locknut", at["locknut"]),
        *call(4, at["tag"][1] + 10, "earth tag", at["tag"]),
        *call(4, at["wall"][1] + 30, "wall|if steel: paint off", at["wall"]),
        *call(4, at["body"][1] + 62, f"body|thread {thread}", at["body"]),
        *call(4, at["nut"][1] + 40, "nut|presses armour", at["nut"]),
        *call(4, at["sheath"][1], "sheath", at["sheath"]),
        *call(300, 22, "to earth bar", (at["earth"][0] + 40, at["earth"][1] - 50)),
        *(
            call(296, at["cone"][1] - 40, "washers|at both holes", at["washer"])
            if of.outdoors
            else ()
        ),
        *call(296, at["cone"][1] - 4, "cone", at["cone"]),
        *call(296, at["armour"][1] + 18, "steel wires|all round, be-|tween both", at["armour"]),
        *(call(296, at["seal"][1] + 20, "seal|on the sheath", at["seal"]) if of.outdoors else ()),
        *(call(296, at["shroud"][1] + 44, "shroud", at["shroud"]) if of.outdoors else ()),
        *call(296, at["bedding"][1] - 4, "bedding", at["bedding"]),
    )


def gland_of_circuit(job: Completed, name: str) -> tuple[ArmourGland, Row] | str:
    """The gland of a circuit's armoured cable, by the first that holds it."""
    circuit = next((each for each in job.installation.circuits if each.name == name), None)
    if circuit is None or circuit.cable.construction != "armoured":
        return f"no circuit with an armoured cable is named '{name}'"
    cable = circuit.cable
    if not is_known(cable.csa_mm2) or not is_known(cable.cores):
        return f"the size or the cores of the cable of '{name}' are not known"
    row = gland_row("armoured", float(cable.cores), float(cable.csa_mm2))
    if isinstance(row, Gap):
        return f"the table gland_size has none for the cable of '{name}'"
    return ArmourGland(row.number("thread_mm"), row.number("nut_mm")), row


def _gland_picture(job: Completed, name: str, outdoors: bool) -> Made | str:
    """The gland of a circuit's cable, cut open."""
    found = gland_of_circuit(job, name)
    if isinstance(found, str):
        return found
    plain, row = found
    of = replace(plain, outdoors=outdoors)
    shown = of_row(
        row, "thread_mm", "thread M{}", "the first gland of the table that holds the cable"
    )
    cable = next(each for each in job.installation.circuits if each.name == name).cable
    assert is_known(cable.cores)  # or there is no gland
    cores = ShownFigure(
        f"this cable has {column_word(float(cable.cores))}",
        "cores of the cable",
        getattr(cable.cores, "path", ""),
    )
    three = float(cable.cores) == _DRAWN_CORES
    kind = "outdoors (type CW)" if outdoors else "indoors (type BW)"
    more = (
        " A second nut presses a seal on the outer sheath, a washer seals the hole, and a shroud"
        " covers it all."
        if outdoors
        else " It does not seal on the outer sheath: dry places only."
    )
    under = (
        ""
        if outdoors
        else "A shroud that comes with the gland may stay off indoors (common practice)."
    )
    return sheet_of(
        f"A gland for armour, {kind}: {name}",
        "An armoured cable in its gland, cut along the cable. The steel wires are opened all round"
        " over the cone of the body; the nut presses them onto it and so holds and earths them."
        " A tag between locknut and wall, where the paint is off, carries the conductor to the"
        f" earth bar. Only the bedding with its cores goes through.{more}",
        [
            Panel(
                gland_section(of, f"M{row.text('thread_mm')}"),
                None,
                kind[0].upper() + kind[1:],
                " ".join(
                    each
                    for each in (under, "" if three else f"Three cores are drawn; {cores.words}.")
                    if each
                ),
                True,
            )
        ],
        (
            ShownFigure(f"thread M{row.text('thread_mm')}", shown.says, row=row),
            *(() if three else (cores,)),
        ),
    )


def gland_indoors(job: Completed, name: str) -> Made | str:
    """The plain one."""
    return _gland_picture(job, name, False)


def gland_outdoors(job: Completed, name: str) -> Made | str:
    """The one that seals on the sheath."""
    return _gland_picture(job, name, True)


def gland_faults(job: Completed, name: str) -> Made | str:
    """One gland of a circuit's cable made off well, and what goes wrong at it."""
    found = gland_of_circuit(job, name)
    if isinstance(found, str):
        return found
    right = replace(found[0], outdoors=True, end=1.5)
    return sheet_of(
        f"A gland for armour made off well, and not: {name}",
        "A gland in a painted steel wall outdoors, four times. Right: bare steel under the earth"
        " tag, the steel wires on the cone, a seal on the sheath. Wrong: wires that end before the"
        " cone; the tag on paint; an indoor gland outdoors, without seal or washer.",
        [
            Panel(
                gland_panel(right),
                True,
                "outdoors",
                "Paint (red) off under the tag; wires on the cone; seal on the sheath.",
            ),
            Panel(
                gland_panel(replace(right, wires_short=True)),
                False,
                "wires too short",
                "Nothing lies on the cone: the cable is not held, the armour not earthed.",
            ),
            Panel(
                gland_panel(right, paint_under_tag=True),
                False,
                "tag on paint",
                "Paint is no joint: tag and armour meet, the box is not earthed by them.",
            ),
            Panel(
                gland_panel(replace(right, outdoors=False)),
                False,
                "indoor gland outdoors",
                "No seal, no washer, no shroud: water reaches the steel wires and the box.",
            ),
        ],
    )


# ---- taken apart


_PARTS = (
    ("lug", "nut, lug|conductor to the earth bar"),
    ("locknut", "locknut|inside the box"),
    ("tag", "earth tag|bare metal under it"),
    ("wall", "wall of the box|two holes, burr off"),
    ("bolt", "bolt|through {wall}, {tag} and {lug}"),
    ("washer", "washers, outdoors|they seal both holes"),
    ("body", "body with its cone|through the hole"),
    ("nut", "nut|on the cable before {body}"),
    ("seal-nut", "nut with its seal|outdoors; before {nut} and {body}"),
    ("shroud", "shroud, outdoors|first on the cable"),
    ("cable", "cable|wires as long as the cone"),
)


def gland_apart() -> Made:
    """Every part of a gland in the order in which it stands on the cable."""
    groups: list[Group] = []
    points: dict[str, Point] = {}
    y, x = 4.0, 92.0
    numbers = {name: number for number, (name, _) in enumerate(_PARTS, 1)}
    for name, text in _PARTS:
        said = f"{numbers[name]}  {text.format(**numbers)}"
        items, tall = _part(name, x, y)
        mid = _LEADER.get(name, tall / 2)
        points[name] = (x, y + mid)
        groups.append(
            group(
                name,
                items,
                call(200, y + mid - 2, said, (x + _HALF[name] - 2, y + mid)),
            )
        )
        y += tall + _BELOW.get(name, 14)
    axis = lines([((x, 2.0), (x, y - 4))], FINE, "soft")
    detail = Detail(SHEET_WIDTH, y, (group("axis", (axis,)), *groups), points)
    return sheet_of(
        "A gland taken apart, in order",
        "The parts of a gland for armour from the inside of the box downward: nut and lug of the"
        " tag's bolt, locknut, earth tag, wall with two holes, the bolt, outdoors washers, body"
        " with its cone, nut, and outdoors a nut with a seal; then the shroud and the prepared"
        " cable. Shroud and nuts are slipped on the cable before the armour is opened.",
        [
            Panel(
                detail,
                None,
                "",
                "Onto the cable go first {shroud}, then {seal-nut} and {nut}. Outer sheath off; saw"
                " each wire half through, all round, at the length of the cone, and bend it off:"
                " the bedding stays whole and ends just inside the box (common practice). Open the"
                " wires over the cone of {body}. Two spanners, one to hold {body}: how tight, the"
                " maker says. Indoors {shroud} may stay off (common practice).".format(**numbers),
                True,
            )
        ],
    )


# where thin parts lie in their room
_LEADER = {"locknut": 8.0, "tag": 5.5, "wall": 4.5, "washer": 3.0}
_BELOW = {"lug": 18, "wall": 10, "bolt": 20}
_BOLT = 58.0  # from the axis; where the tag is bolted through the wall
_HALF = {
    "lug": _BOLT + 15,
    "bolt": _BOLT + 13,
    "locknut": 38.0,
    "tag": 72.0,
    "wall": 88.0,
    "washer": _BOLT + 14,
    "body": 38.0,
    "nut": 42.0,
    "seal-nut": 40.0,
    "shroud": 40.0,
    "cable": 17.0,
}


def _hexagon(x: float, y: float, half: float, tall: float, tone: str) -> Drawables:
    """A hexagon nut from the side: three faces."""
    m = tone
    return (
        Box(x - half, y, 2 * half, tall, "zline", LINE, m + "2"),
        Box(x - half, y, half * 0.5, tall, "", 0, m + "3"),
        Box(x - half * 0.5, y, half, tall, "", 0, m + "1"),
        Box(x - half, y, 2 * half, tall, "zline", LINE),
        lines([((x - half * 0.5, y), (x - half * 0.5, y + tall))], HAIR),
        lines([((x + half * 0.5, y), (x + half * 0.5, y + tall))], HAIR),
    )


def _thread(x: float, y: float, half: float, tall: float) -> Drawables:
    ridges = [((x - half, y + d), (x + half, y + d + 1.5)) for d in range(3, int(tall) - 2, 4)]
    return Box(x - half, y, 2 * half, tall, "zline", HAIR, "zm1"), lines(ridges)


def _part(name: str, x: float, y: float) -> tuple[Drawables, float]:
    half = _HALF[name]
    if name == "locknut":
        return _hexagon(x, y, half, 16, "zm"), 28
    at = x + _BOLT
    if name == "lug":
        return (
            conductor(((at + 4, y + 17), (at + 32, y + 5)), 8, "green-and-yellow"),
            Box(at - 10, y + 5, 20, 10, "zline", HAIR, "zz2"),
            Box(at - 13, y + 17, 28, 6, "zline", HAIR, "zc1"),
        ), 26
    if name == "tag":
        return (Box(x - 38, y + 2, 110, 7, "zline", LINE, "zz1"),), 24
    if name == "wall":
        ways = [(x - 88, x - 27), (x + 27, at - 5), (at + 5, x + 88)]
        pieces = [cut([(a, y), (b, y), (b, y + 9), (a, y + 9)], "zs2") for a, b in ways]
        return tuple(each for piece in pieces for each in piece), 26
    if name == "bolt":
        return (
            Box(at - 4, y, 8, 16, "zline", HAIR, "zz1"),
            lines([((at - 4, y + d), (at + 4, y + d + 1.5)) for d in (2, 6, 10)]),
            Box(at - 10, y + 16, 20, 9, "zline", HAIR, "zz2"),
        ), 25
    if name == "washer":
        return (
            Box(x - 38, y, 76, 6, "zline", LINE, "zk3"),
            Box(at - 12, y, 24, 6, "zline", LINE, "zk3"),
        ), 26
    if name == "body":
        cone = [(x - 24, y + 58), (x + 24, y + 58), (x + 15, y + 80), (x - 15, y + 80)]
        return (
            *_thread(x, y, 26, 24),
            *_hexagon(x, y + 24, half, 16, "zm"),
            *_thread(x, y + 40, 26, 18),
            body(cone, "zm2"),
        ), 80
    if name in ("nut", "seal-nut"):
        foot = [
            (x - half, y + 26),
            (x + half, y + 26),
            (x + half - 12, y + 38),
            (x - half + 12, y + 38),
        ]
        ringed: Drawables = ()
        if name == "seal-nut":
            ringed = (Box(x - 26, y - 7, 52, 9, "zline", HAIR, "zk1"),)
        return (*ringed, body(foot, "zm3"), *_hexagon(x, y, half, 26, "zm")), 38
    if name == "shroud":
        shape = [
            (x - half, y), (x + half, y), (x + half, y + 34),
            (x + 19, y + 56), (x - 19, y + 56), (x - half, y + 34),
        ]  # fmt: skip
        return (
            body(shape, "zk2"),
            edge_line((x - half, y + 34), (x + half, y + 34), width=FINE),
        ), 56
    wires = [((x + d * 0.9, y + 44), (x + d * 2.1, y + 26)) for d in range(-14, 15, 4)]
    return (
        conductor(((x - 8, y + 30), (x - 8, y)), 7, "blue"),
        conductor(((x + 8, y + 30), (x + 8, y)), 7, "green-and-yellow"),
        conductor(((x, y + 30), (x, y)), 7, "brown"),
        Box(x - 13, y + 12, 26, 40, "zline", LINE, "zk2"),
        Strands(wires[0], (("zline", 3.0, ""), ("zz1", 1.4, "")), more=tuple(wires[1:])),
        Box(x - 17, y + 44, 34, 36, "zline", LINE, "zk1"),
    ), 80
