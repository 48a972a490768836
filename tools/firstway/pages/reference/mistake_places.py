"""Pages: the places of a board that a mistake may be at, in groups, each named by the parts it lies
between; what is joined wrongly is for the reader to see.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from json import dumps

from firstway.choosing.completing import Completed
from firstway.drawing.part_words import KIND_WORDS, function_mark, in_words_of
from firstway.frozen import dataclass
from firstway.rendering.html import Markup, joined, tag
from firstway.wiring.graph import Conductor, Part, Wiring

_BARS = ("line-bar", "neutral-bar", "earth-bar")
_OUTSIDE = ("origin", "main-earthing-terminal", "charging-point", "electrode", "bonded-part")
_GROUPS = ("Devices", "Bars", "Conductors", "Box, openings and cables", "Outside the board")


@dataclass(frozen=True)
class ListedPlace:
    """A place of the list: its id in the drawing, what it is called, and which other ids of the
    drawing stand for it (its terminals, the pieces of a bar).
    """

    id: str
    group: str
    words: str
    also: tuple[str, ...] = ()


def places_to_choose(
    before: Completed, after: Completed, drawn: Collection[str]
) -> list[ListedPlace]:
    """The places of a board in groups, sorted, no two of the same words. `drawn`: the ids of what
    its drawing shows and names; `before`: the board without the mistake, whose ends name a
    conductor.
    """
    sound, wiring = before.case.wiring.drawn, after.case.wiring.drawn
    found = [(part.name, *_part_words(after, part)) for part in wiring.parts]
    found.append(("line-bar", "Bars", "line bar"))
    for each in wiring.conductors:
        if each.kind != "bar":
            known = next((one for one in sound.conductors if one.id == each.id), None)
            words = _conductor_words(after, sound if known else wiring, known or each)
            found.append((each.id, "Conductors", words))
    found += [
        (each, "Box, openings and cables", _box_words(each, each in _cables(wiring)))
        for each in drawn
        if each == "enclosure" or each.startswith("opening.") or each in _cables(wiring)
    ]
    also = _also(wiring)
    taken: dict[str, int] = {}
    places: list[ListedPlace] = []
    shown = {name: (group, words) for name, group, words in found if name in drawn}
    for name, (group, words) in sorted(
        shown.items(), key=lambda each: (_GROUPS.index(each[1][0]), each[1][1].casefold(), each[0])
    ):
        taken[words] = taken.get(words, 0) + 1
        told = words if taken[words] == 1 else f"{words}, number {taken[words]}"
        others = tuple(sorted(one for one, of in also.items() if of == name))
        places.append(ListedPlace(name, group, told, others))
    return places


def places_html(places: Sequence[ListedPlace]) -> Markup:
    """The list to choose from; a script finds the choice of what was tapped."""
    return tag(
        "select",
        tag("option", "not chosen", value=""),
        joined(
            tag(
                "optgroup",
                *(
                    tag(
                        "option",
                        each.words,
                        value=each.id,
                        data_also=dumps(each.also) if each.also else None,
                    )
                    for each in places
                    if each.group == group
                ),
                label=group,
            )
            for group in _GROUPS
            if any(each.group == group for each in places)
        ),
    )


def standing_for(places: Sequence[ListedPlace], name: str) -> str:
    """The id of the place that stands for a name of the drawing; "" where none does."""
    return next((each.id for each in places if name == each.id or name in each.also), "")


def _part_words(job: Completed, part: Part) -> tuple[str, str]:
    words = in_words_of(job.installation, KIND_WORDS.get(part.kind, part.kind))
    if part.kind in _BARS:
        return "Bars", in_words_of(job.installation, part.name.replace("-", " "))
    group = "Outside the board" if part.kind in _OUTSIDE else "Devices"
    same = part.kind in ("origin", "main-earthing-terminal", "bonded-part")
    return group, words if same else f"{part.name}, {words}"


def _conductor_words(job: Completed, wiring: Wiring, each: Conductor) -> str:
    ends = [_end_words(job, wiring, end) for end in (each.start, each.end)]
    kind = " armour" if each.kind == "armour" else ""
    function = function_mark(each.function, str(job.installation.rules))
    return f"{function}{kind}: {ends[0]} to {ends[1]}"


def _end_words(job: Completed, wiring: Wiring, end: str) -> str:
    terminal = wiring.terminal(end)
    part = wiring.part(terminal.device) if terminal else None
    if part is None:
        return "line bar" if terminal and terminal.device == "bar" else "the box"
    named = part.kind not in (*_BARS, "origin", "main-earthing-terminal", "bonded-part")
    return part.name if named else _part_words(job, part)[1]


def _cables(wiring: Wiring) -> set[str]:
    return {each.cable for each in wiring.conductors if each.cable}


def _box_words(name: str, cable: bool) -> str:
    if name == "enclosure":
        return "enclosure"
    kind, _, of = ("cable", "", name) if cable else name.partition(".")
    return f"{kind} of {'the feed' if of == 'feed' else of}"


def _also(wiring: Wiring) -> Mapping[str, str]:
    """Each terminal, and each piece of a bar, with the place it stands for."""
    device = {
        each.id: "line-bar" if each.device == "bar" else each.device for each in wiring.terminals
    }
    pieces = {
        each.id: device[each.start]
        for each in wiring.conductors
        if each.kind == "bar" and each.start in device
    }
    teeth = {
        each.id: "line-bar"
        for each in wiring.conductors
        if each.kind == "bar" and "line-bar" in (device.get(each.start), device.get(each.end))
    }
    return {**device, **pieces, **teeth}
