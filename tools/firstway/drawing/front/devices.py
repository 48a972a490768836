"""Board front: the devices with their words, free places, and the terminals with their names."""

from collections.abc import Sequence

from firstway.drawing.front.framing import FrontFrame
from firstway.drawing.front.hardware import boxed
from firstway.drawing.front.lettering import (
    TOWARDS,
    Wish,
    WordPlace,
    covering,
    fitted,
    in_box,
    left_of,
    outline,
    texts,
)
from firstway.drawing.front.scene import JOINT, SeenFront, face_of
from firstway.drawing.front.words import device_lines, front_label_words
from firstway.drawing.labels import Bounds
from firstway.drawing.part_words import bar_called, function_mark, spoken_part
from firstway.drawing.rect import Rect
from firstway.drawing.sheet import HAIR, LINE, Disc, Drawable, Group, Lettering, Stroke
from firstway.layout.plan import DeviceBody, Side, TerminalSpot
from firstway.model.nec_words import in_nec_words
from firstway.wiring.graph import Part, Terminal

_ENDED = ("main-switch", "rcbo", "rcd", "circuit-breaker", "fuse", "contactor")


def device_fronts(
    front: SeenFront, frame: FrontFrame, blocked: Sequence[Bounds] = ()
) -> tuple[Group, ...]:
    """Each device: its body up to the shoulders, and its nose with what is printed on it, beside
    what is painted over it where there is not room enough for all.
    """
    return tuple(
        Group(
            part.name,
            (
                boxed(frame.paper.body(body.body), "ink", LINE, "panel", 2),
                *nose(front, frame, part, body, True, blocked),
            ),
            spoken_part(front.completed, part.name),
            f"part {part.kind}",
        )
        for part, body in front.devices
    )


def nose(
    front: SeenFront,
    frame: FrontFrame,
    part: Part,
    body: DeviceBody,
    with_feeds: bool,
    blocked: Sequence[Bounds] = (),
) -> tuple[Drawable, ...]:
    """What stands in the cover's window, with its words; `with_feeds` where no label tells what it
    feeds.
    """
    box = frame.paper.body(body.nose)
    name, facts = device_lines(front.installation, part)
    label = front_label_words(front.installation, part)
    if with_feeds and part.kind not in ("main-switch", "spd") and label:
        facts = (*facts[:2], f"feeds {label.removeprefix('feeds ')}", *facts[2:])
    room = left_of(box, blocked)
    words = fitted(name, facts, room.width - 5, room.height - 4)
    fill = "panel" if part.kind == "blank" else "plate"
    printed = texts(words[0], *room.middle, words[1], first_bold=True) if words else ()
    return (boxed(box, "ink", HAIR, fill, 1), *printed)


def free_places(front: SeenFront, frame: FrontFrame) -> tuple[Group, ...]:
    """Module places without a device."""
    groups = []
    for place, rect in enumerate(front.free, 1):
        box = frame.paper.rect(rect)
        found = in_box(("free",), box.width - 4, box.height - 4)
        words = texts(found[0], *box.middle, found[1], ink="soft") if found else ()
        groups.append(
            Group(
                f"free.{place}",
                (boxed(box, "soft", HAIR, "paper", 2, "4 3"), *words),
                "A free module place",
                "free",
            )
        )
    return tuple(groups)


def taken_by_devices(front: SeenFront, frame: FrontFrame) -> tuple[Bounds, ...]:
    """Noses and free places whole, bodies by their outlines, and every screw."""
    boxes: list[Bounds] = []
    for _, body in front.devices:
        boxes += outline(frame.paper.body(body.body))
        boxes.append(covering(frame.paper.body(body.nose)))
    boxes += [covering(frame.paper.rect(rect)) for rect in front.free]
    for spot in front.plan.spots.values():
        reach = max(front.radius(spot) * frame.paper.scale, 2.0)
        x, y = frame.paper.at(spot.at)
        boxes.append(covering(Rect(x - reach, y - reach, 2 * reach, 2 * reach)))
    return tuple(boxes)


# Terminals


def terminals(
    front: SeenFront, frame: FrontFrame, lettering: dict[str, tuple[Lettering, ...]]
) -> tuple[Group, ...]:
    """Each terminal in the enclosure: its screw, and its name where that has room."""
    groups = []
    for terminal in front.wiring.terminals:
        spot = front.plan.spots.get(terminal.id)
        if spot is not None:
            groups.append(
                Group(
                    terminal.id,
                    (*_screw(front, frame, spot), *lettering.get(terminal.id, ())),
                    _spoken(front, terminal),
                    f"terminal {terminal.function}",
                )
            )
    return tuple(groups)


def _screw(front: SeenFront, frame: FrontFrame, spot: TerminalSpot) -> list[Drawable]:
    x, y = frame.paper.at(spot.at)
    size = front.radius(spot)
    joint = size <= JOINT
    radius = max(size * frame.paper.scale, 2.0)
    items: list[Drawable] = [Disc(x, y, radius, "ink", HAIR, "casing" if joint else "paper")]
    if not joint and radius > 4:
        slot = radius * 0.6
        items.append(Stroke(((x - slot, y), (x + slot, y)), "soft", HAIR))
    return items


def _spoken(front: SeenFront, terminal: Terminal) -> str:
    part = front.wiring.part(terminal.device)
    if part is not None and part.kind in ("neutral-bar", "earth-bar"):
        called = bar_called(front.wiring, terminal.device)
        words = f"{called} terminal {terminal.id.rpartition('.')[2]}"
    else:
        ended = terminal.end in ("supply", "load") and part and part.kind in _ENDED
        place = f"{f' {terminal.end}' if ended else ''} {terminal.function}"
        words = f"{terminal.device.replace('-', ' ')}{place}"
    return in_nec_words(words) if front.installation.rules == "nec" else words


def wishes_of_terminals(front: SeenFront, frame: FrontFrame) -> tuple[Wish, ...]:
    """The name of each terminal between its screw and the nose, on a bar its number inside; those
    of the line bar are told by its teeth.
    """
    found = []
    for terminal in front.wiring.terminals:
        spot, part = front.plan.spots.get(terminal.id), front.wiring.part(terminal.device)
        if spot is None or part is None:
            continue
        tail = terminal.id.rpartition(".")[2]
        if part.kind in ("neutral-bar", "earth-bar"):
            words = tail if tail.isdigit() else ""
        elif part.kind == "line-bar":
            words = str(terminal.function) if tail == "lugs" else ""
        else:
            words = function_mark(terminal.function, front.installation.rules)
        if words:
            found.append(Wish(terminal.id, ((words,),), _places(front, frame, part, spot)))
    return tuple(found)


def _places(
    front: SeenFront, frame: FrontFrame, part: Part, spot: TerminalSpot
) -> tuple[WordPlace, ...]:
    x, y = frame.paper.at(spot.at)
    reach = max(front.radius(spot) * frame.paper.scale, 4.0)
    bar = next((face_of(each.box) for each in front.plan.bars if each.name == part.name), None)
    if bar is not None:
        reach = min(bar.width, bar.height) / 2 * frame.paper.scale
    inward = spot.out if bar is not None else _inward(front, part, spot)
    return (WordPlace(x, y, TOWARDS[inward], reach + 3.5),)


def _inward(front: SeenFront, part: Part, spot: TerminalSpot) -> Side:
    """From a device's screw towards its nose; from a lug away from the devices."""
    body = next((each for each in front.plan.devices if each.name == part.name), None)
    if body is None:
        return spot.out
    dx, dy = body.nose.middle(0) - spot.at[0], body.nose.middle(1) - spot.at[1]
    box, nose_ = face_of(body.body), face_of(body.nose)
    level = nose_.width < box.width - 1
    if level:
        return "right" if dx > 0 else "left"
    return "bottom" if dy > 0 else "top"
