"""Board front: the cover on: the window with the noses, blanks, the label strip beside each device,
warning labels and notices, and the cover's screws.
"""

from firstway.drawing.cover_openings import openings_of_cover
from firstway.drawing.front.cover_labels import (
    BLANK_LINE,
    CONFIRM_CLAUSES,
    CoverLabel,
    further_labels,
    labels_beside,
    labels_of_cover,
)
from firstway.drawing.front.devices import nose
from firstway.drawing.front.framing import FrontFrame
from firstway.drawing.front.hardware import boxed, screw_heads
from firstway.drawing.front.lettering import STEP, TakenBoxes, in_box, texts
from firstway.drawing.front.scene import SeenFront
from firstway.drawing.front.words import (
    alternative_text,
    enclosure_words,
    front_label_words,
    live_words,
    main_end,
    opening_sentences,
)
from firstway.drawing.part_words import in_words_of, spoken_part
from firstway.drawing.rect import Rect
from firstway.drawing.sheet import HAIR, LINE, SMALLEST, Drawable, Group
from firstway.drawing.text_width import reserved_width, wrapped
from firstway.layout.plan import Solid
from firstway.wiring.graph import Part

_PAD = 6.0  # units kept free inside a label
_GAP, _EDGE, _TRIED = 5.0, 9.0, 6.0  # between labels; from the cover's edge; from place to place
_WIDTHS = (320.0, 240.0, 180.0, 140.0, 110.0)  # of a label in a place that is left
_WEB = 3.0  # units of the cover between two places beside a bus
_ON_COVER = ("warning-label", "test-notice", "inspection-label", "cover-screw")

_CLOSED: dict[bool, dict[bool | None, tuple[str, str]]] = {
    False: {
        True: ("blank", "A blank over a free place"),
        False: ("open", "A free place that nothing closes"),
        None: ("blank?", "A free place; whether a blank closes it is not known"),
    },
    True: {
        True: ("closed", "An unused place, closed: its twist-out left in, or a filler plate"),
        False: ("open", "An unused place that nothing closes"),
        None: ("closed?", "An unused place; whether it is closed is not known"),
    },
}
"""What a free place is called, in a window and (True) beside a bus, by what the file says."""


def covered(front: SeenFront, frame: FrontFrame) -> tuple[Group, ...]:
    """The closed board, from the cover outward."""
    paper, cover = frame.paper, front.plan.cover
    known = all(front.given(key) is not None for key in ("width_mm", "height_mm"))
    shape = boxed(paper.body(cover.box), "ink", LINE, "panel", 6, "" if known else "6 4")
    return (
        Group(
            "enclosure",
            (shape,),
            in_words_of(front.installation, "The cover of the board"),
            "enclosure",
        ),
        Group("cover.window", _openings(front, frame), _opened(front), "window"),
        *_blanks(front, frame),
        *_noses(front, frame),
        *_strips(front, frame),
        *_notices(front, frame),
        *(_label(each, box, words) for each, box, words in _further(front, frame)),
        *_screws(front, frame),
    )


def _openings(front: SeenFront, frame: FrontFrame) -> tuple[Drawable, ...]:
    """The window over a row, or an opening for each device beside a bus, which stays covered."""
    return tuple(
        boxed(frame.paper.body(each), "ink", LINE, "casing")
        for each in openings_of_cover(front.plan)
    )


def _noses(front: SeenFront, frame: FrontFrame) -> tuple[Group, ...]:
    """What of each device stands in the window."""
    return tuple(
        Group(
            part.name,
            nose(front, frame, part, body, False),
            spoken_part(front.completed, part.name),
            f"part {part.kind}",
        )
        for part, body in front.devices
    )


def _opened(front: SeenFront) -> str:
    return "An opening for each device" if front.tabbed else "The window of the cover"


def _blanks(front: SeenFront, frame: FrontFrame) -> tuple[Group, ...]:
    """A blank over each free place, or the gap where none is fitted; beside a bus each free place
    is closed by itself.
    """
    closed = getattr(front.installation.board.enclosure, "spare_ways_blanked", None)
    words, title = _CLOSED[front.tabbed].get(closed, _CLOSED[front.tabbed][None])
    groups = []
    for place, rect in enumerate(front.free, 1):
        box = frame.paper.rect(rect)
        if front.tabbed:
            box = Rect(box.x + _WEB, box.y + _WEB, box.width - 2 * _WEB, box.height - 2 * _WEB)
        found = in_box((words,), box.width - 4, box.height - 4)
        lines = texts(found[0], *box.middle, found[1], ink="soft") if found else ()
        fill = "paper" if closed is False else "panel"
        dash = "" if closed is True else "4 3"
        shape = boxed(
            box, "soft" if front.tabbed else "ink", HAIR, fill, 3 * front.tabbed or 1, dash
        )
        groups.append(Group(f"free.{place}", (shape, *lines), title, "free"))
    return tuple(groups)


def _strips(front: SeenFront, frame: FrontFrame) -> tuple[Group, ...]:
    """The label strip beside each device: its name, and what it feeds."""
    parts = {part.name: part for part, _ in front.devices}
    groups = []
    for name, solid in front.plan.cover.labels:
        part = parts.get(name)
        if part is None:
            continue
        box = frame.paper.body(solid)
        words = strip_words(front, part)
        found = _first(box, (words, *((part.name,) if words != part.name else ())))
        groups.append(
            Group(
                f"label.{name}",
                (boxed(box, "soft", HAIR, "plate"), *found),
                f"Label of {name}: {words}",
                "label",
            )
        )
    return tuple(groups)


def strip_words(front: SeenFront, part: Part) -> str:
    """What the label of a device must say."""
    feeds = front_label_words(front.installation, part)
    return f"{part.name} {feeds}" if feeds else f"{part.name} spare"


def _first(box: Rect, forms: tuple[str, ...], bold: bool = False) -> tuple[Drawable, ...]:
    """The fullest of some words that a label holds; what is to be filled in stays with its word."""
    forms = tuple(
        form.replace(f" {BLANK_LINE}", f"\N{NO-BREAK SPACE}{BLANK_LINE}") for form in forms
    )
    found = in_box(forms, box.width - _PAD, box.height, bold)
    return texts(found[0], *box.middle, found[1], bold) if found else ()


def _notices(front: SeenFront, frame: FrontFrame) -> tuple[Group, ...]:
    """Warning label and notices where the cover is free for them."""
    groups = []
    for label in labels_of_cover(front):
        solid = _place(front, label)
        if solid is None:
            continue
        box = frame.paper.body(solid)
        groups.append(_label(label, box, _first(box, (label.words, *label.shorter), label.warns)))
    return tuple(groups)


def _label(label: CoverLabel, box: Rect, words: tuple[Drawable, ...]) -> Group:
    plate = boxed(box, "ink", LINE if label.warns else HAIR, "plate", 2)
    return Group(label.id, (plate, *words), f"{label.title}: {label.words}", "label notice")


_Placed = tuple[CoverLabel, Rect, tuple[Drawable, ...]]


def _further(front: SeenFront, frame: FrontFrame) -> tuple[_Placed, ...]:
    """Each further label that the cover has room for, with its place and its words."""
    paper, cover = frame.paper, front.plan.cover
    taken = [paper.body(each.body) for each in front.fittings if each.kind in _ON_COVER]
    taken += [paper.body(solid) for _, solid in cover.labels] + [paper.body(cover.window)]
    field = TakenBoxes(
        (each.x - _GAP, each.y - _GAP, each.right + _GAP, each.bottom + _GAP) for each in taken
    )
    found: list[_Placed] = []
    for label in further_labels(front):
        for words in (label.words, *label.shorter):
            placed = _room_for(words, paper.body(cover.box), field)
            if placed is not None:
                box, lines = placed
                field.take((box.x - _GAP, box.y - _GAP, box.right + _GAP, box.bottom + _GAP))
                found.append((label, box, lines))
                break
    return tuple(found)


def _room_for(
    words: str, cover: Rect, field: TakenBoxes
) -> tuple[Rect, tuple[Drawable, ...]] | None:
    """The highest free place on the cover, near its middle, for words as wide as they may be."""

    def middle(width: float) -> float:
        return cover.middle[0] - width / 2

    for width in _WIDTHS:
        lines = wrapped(words, SMALLEST, width - 2 * _PAD)
        if max(reserved_width(line, SMALLEST) for line in lines) > width - _PAD:
            continue
        height = STEP * len(lines) + _PAD
        spare = cover.width - width - 2 * _EDGE
        for y in _steps(cover.y + _EDGE, cover.height - height - 2 * _EDGE):
            for x in sorted(_steps(cover.x + _EDGE, spare), key=lambda x: abs(x - middle(width))):
                if field.free((x, y, x + width, y + height)):
                    box = Rect(x, y, width, height)
                    return box, texts(lines, *box.middle, False)
    return None


def _steps(first: float, spare: float) -> list[float]:
    """Places from the first on; none where nothing is spare."""
    return [first + _TRIED * step for step in range(int(spare / _TRIED) + 1)] if spare >= 0 else []


def _place(front: SeenFront, label: CoverLabel) -> Solid | None:
    return next((each.body for each in front.fittings if each.kind == label.id), None)


def _screws(front: SeenFront, frame: FrontFrame) -> tuple[Group, ...]:
    screws = screw_heads(front, frame, "cover-screw")
    return (Group("cover-screws", screws, "Screws of the cover", "fixings"),) if screws else ()


# Words


def notes_of_cover(front: SeenFront, frame: FrontFrame) -> list[tuple[str, str]]:
    """What each label must say, and why."""
    found = [
        ("Seen from the front with the cover on, to scale.", "bold"),
        (enclosure_words(front), "plain"),
        *((words, "bold") for words in live_words(front.installation)),
        ("What each label must say", "bold"),
    ]
    strips = "; ".join(strip_words(front, part) for part, _ in front.devices)
    found.append((f"Beside each device: {strips}.", "plain"))
    placed = {label.id for label, _, _ in _further(front, frame)}
    for label in (*labels_of_cover(front), *further_labels(front), *labels_beside(front)):
        beside = bool(label.id) and _place(front, label) is None and label.id not in placed
        where = " No room on the cover: put it beside the board." if beside else ""
        found.append((f"{label.title}: {label.words}{where}", "plain"))
        found.append((f"{label.why}.", "soft"))
    words = "Sizes and places of labels are proposals; the words are ours, not those of a standard."
    return [*found, (f"{words} {CONFIRM_CLAUSES}", "soft")]


def covered_words(front: SeenFront) -> str:
    """The alternative text: what is seen of the closed board, and what each label says."""
    devices = [
        f"{spoken_part(front.completed, part.name)}, labelled {strip_words(front, part)}"
        for part, _ in front.devices
    ]
    free = f" {len(front.free)} free places." if front.free else ""
    seen = "Each in an opening of its own" if front.tabbed else "In the window"
    labels = [f"{each.title}: {each.words}" for each in labels_of_cover(front)]
    further = (*further_labels(front), *labels_beside(front))
    labels += [f"{each.title}: {each.words}" for each in further]
    return alternative_text(
        front,
        [
            f"Front of the board of {front.installation.title}, cover on, to scale.",
            enclosure_words(front),
            f"{seen}, from the {main_end(front)} end: {'; '.join(devices)}.{free}",
            *labels,
            *opening_sentences(front),
            *live_words(front.installation),
        ],
    )
