"""Drawing, pictures for the hands: the earth tag of a gland on bare metal, and on paint."""

from firstway.drawing.hands.frame import HALF, Detail, Made, Panel, group, sheet_of
from firstway.drawing.hands.strokes import Scale, body, call, conductor, cut, ring
from firstway.drawing.sheet import HAIR, Group
from firstway.frozen import dataclass

_WALL, _TAG, _PAINT = 2.0, 1.8, 0.9  # mm; paint drawn thicker than it is, to be seen


@dataclass(frozen=True)
class TagOnWall:
    """A tag bolted to a painted steel wall; `on_paint`: the paint was left under it."""

    on_paint: bool = False


def tag_on_wall(of: TagOnWall) -> Detail:
    """The wall cut through the bolt of the tag, the inside of the box above; the gland lies to
    the left, beyond the edge.
    """
    at = Scale(104.0, 96.0, 8.0)
    lift = _PAINT if of.on_paint else 0.0
    # on paint the tag lies as much higher as the paint is thick
    top = -_TAG - lift
    bare = 1.2 if of.on_paint else 6.8
    inside = [at.block(bare, -_PAINT, 11.2, 0.0)]
    if of.on_paint:
        inside.append(at.block(-13.0, -_PAINT, -bare, 0.0))
    outside = [
        at.block(-13.0, _WALL, -1.2, _WALL + _PAINT),
        at.block(1.2, _WALL, 11.2, _WALL + _PAINT),
    ]
    bolt = at.block(-0.9, top - 5.4, 0.9, _WALL + _PAINT)
    head = at.block(-2.6, _WALL + _PAINT, 2.6, _WALL + _PAINT + 2.2)
    nut = at.block(-2.4, top - 4.2, 2.4, top - 1.4)
    lug = at.path((-2.6, top - 1.4), (3.4, top - 1.4), (5.0, top - 2.8), (8.2, top - 2.8),
                  (8.2, top - 0.6), (5.4, top - 0.6), (4.4, top), (-2.6, top))  # fmt: skip
    groups: list[Group] = [
        group(
            "wall",
            cut(at.block(-13.0, 0, -1.2, _WALL), "zs2", 1, 6.0),
            cut(at.block(1.2, 0, 11.2, _WALL), "zs2", 1, 6.0),
            title="Steel wall, cut through the bolt",
        ),
        group(
            "paint", tuple(body(each, "red", HAIR) for each in (*inside, *outside)), title="Paint"
        ),
        group("tag", cut(at.block(-13.0, top, 5.6, top + _TAG), "zz1", -1, 6.0), title="Earth tag"),
        group(
            "conductor",
            (conductor(at.path((7.2, top - 1.7), (11.4, top - 1.7)), 15, "green-and-yellow"),),
        ),  # fmt: skip
        group(
            "bolt",
            (body(bolt, "zz1", HAIR), body(lug, "zc1", HAIR)),
            (body(nut, "zz2", HAIR), body(head, "zz2", HAIR)),
            title="Bolt, lug and nut",
        ),
        group(
            "names",
            call(4, 20, "earth tag|to the gland", at.at(-9.0, top + _TAG / 2)),
            call(132, 20, "lug, nut", at.at(2.0, top - 2.6)),
            call(4, 156, "steel wall", at.at(-8.0, _WALL / 2)),
            call(136, 156, "paint", at.at(9.0, -_PAINT / 2)),
        ),
    ]
    points = {"tag": at.at(-6.0, top + _TAG), "wall": at.at(-6.0, 0.0), "rim": at.at(4.0, 0.0)}
    if of.on_paint:
        points["wrong"] = at.at(-5.5, -_PAINT / 2)
        groups.append(group("wrong", (ring(*points["wrong"], 14),)))
    return Detail(HALF, 164, tuple(groups), points)


def earth_tag() -> Made:
    """Bare steel under the tag, and paint."""
    return sheet_of(
        "The earth tag: on bare metal, and on paint",
        "A painted steel wall cut through the bolt of an earth tag, twice. Right: the paint is off"
        " under the whole tag, tag and steel touch, box and armour are both earthed. Wrong: paint"
        " under the tag; armour and conductor are joined by it, but the box is not. A measurement"
        " from the armour passes; measure from the steel of the box too.",
        [
            Panel(
                tag_on_wall(TagOnWall()),
                True,
                "on bare metal",
                "Paint off under the whole tag: steel, tag and lug touch. Protect the bare rim"
                " after (common practice).",
            ),
            Panel(
                tag_on_wall(TagOnWall(on_paint=True)),
                False,
                "on paint",
                "Armour to earth bar reads joined; the box is not. Measure from its steel too.",
            ),
        ],
    )
