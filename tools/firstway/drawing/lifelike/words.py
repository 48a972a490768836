"""Lifelike view: what stands in its margins and in its alternative text, from the data."""

from __future__ import annotations

from collections.abc import Sequence

from firstway.choosing.completing import Completed
from firstway.drawing.front.words import front_label_words, opening_lines
from firstway.drawing.part_words import (
    KIND_WORDS,
    NEC_WORDS,
    amount,
    armour_words,
    bar_words,
    device_facts,
    earth_words,
    spoken_part,
)
from firstway.drawing.sheet import SMALLEST
from firstway.drawing.text_width import wrapped
from firstway.layout.plan import Layout, Parts
from firstway.model.installation import Installation
from firstway.model.nec_words import in_nec_words
from firstway.model.values import Absent, is_known
from firstway.rendering.figures import number_text
from firstway.rendering.html import caution_line
from firstway.wiring.graph import Conductor, Part, Wiring

WORDS_ROOM = 142.0
"""Units the words beside the box may take."""


def callout_lines(
    installation: Installation, head: str, *facts: str, width: float = WORDS_ROOM
) -> tuple[str, ...]:
    """A head and what is said under it, in the words of the rule set, broken to the margin."""
    lines = [head, *facts]
    if installation.rules == "nec":
        lines = [in_nec_words(each) for each in lines]
    return tuple(
        text
        for place, line in enumerate(lines)
        if line
        for text in wrapped(line, SMALLEST, width, place == 0)
    )


def device_callout(installation: Installation, part: Part) -> tuple[str, ...]:
    """Name and kind of a device, and its figures."""
    facts = device_facts(installation, part)
    kind = KIND_WORDS.get(part.kind, part.kind)
    return callout_lines(installation, part.name, ", ".join((kind, *facts[1:])), width=104.0)


def torque_words(installation: Installation, name: str) -> tuple[str, ...]:
    """To what the screws of a device are tightened, and what is stripped, as its maker states."""
    switch = installation.board.main_switch
    way = next((each for each in installation.board.ways if each.name == name), None)
    if way is not None and way.device != "blank":
        terminals = way.terminals
    elif not isinstance(switch, Absent) and switch.name == name:
        terminals = switch.terminals
    else:
        return ()
    if isinstance(terminals, Absent):
        return ("ask the maker",)
    torque = (
        amount(terminals.torque_nm, "N·m")
        if is_known(terminals.torque_nm) or not is_known(terminals.torque_lbf_in)
        else amount(terminals.torque_lbf_in, "lbf·in")
    )
    strip = f"strip {amount(terminals.strip_mm, 'mm')}" if is_known(terminals.strip_mm) else ""
    return tuple(filter(None, (torque, strip)))


def bar_callout(installation: Installation, part: Part) -> tuple[str, ...]:
    """The neutral or the earth bar."""
    names = NEC_WORDS if installation.rules == "nec" else KIND_WORDS
    words = names.get(part.kind, KIND_WORDS.get(part.kind, part.kind))
    behind = part.name.removeprefix(f"{part.kind}-")
    return callout_lines(installation, words if behind == part.name else f"{words} {behind}")


def line_bar_callout(installation: Installation) -> tuple[str, ...]:
    """The bar that feeds the devices."""
    return callout_lines(installation, bar_words(installation))


def opening_callout(
    installation: Installation, name: str, gland: bool, behind: Sequence[str] = ()
) -> tuple[str, ...]:
    """What passes an opening; `behind` are the marks of single cores that hide each other, the
    nearest to the eye first.
    """
    head, *facts = opening_lines(installation, name)
    order = f"{behind[0]} before {' '.join(behind[1:])}" if behind else ""
    passes = "through its gland" if gland else ""
    if gland and name == "feed":
        passes = next(iter(armour_words(installation)), passes)
    return callout_lines(installation, head, *facts, order, passes)


def lead_callout(
    installation: Installation, conductor: Conductor, length_m: float
) -> tuple[str, ...]:
    """A lead of the surge protective device, with its length as it lies."""
    kind = {"N": "neutral", "PE": "earth"}.get(conductor.function, "line")
    length = f"{number_text(length_m, 2)} m as laid"
    stated = conductor.length_m
    if stated is not None and stated > length_m + 0.005:  # the longer counts, both are shown
        length += f", {number_text(stated, 2)} m stated"
    return callout_lines(
        installation, f"SPD {kind} lead", ", ".join(filter(None, (length, conductor.size)))
    )


def link_callout(installation: Installation, conductor: Conductor) -> tuple[str, ...]:
    """The neutral link from the main switch."""
    return callout_lines(installation, "neutral link", f"from {conductor.start.partition('.')[0]}")


def circuit_callout(installation: Installation, name: str) -> tuple[str, ...]:
    """The conductors of a circuit inside the board."""
    return callout_lines(installation, f"conductors of {name}")


def closing_words(parts: Parts) -> tuple[str, str]:
    """What closes the free places of the cover: head and fact."""
    if parts.rail is None:
        return "twist-outs", "left in where no device stands"
    return "blanks", "close every free place"


def cover_labels(installation: Installation, wiring: Wiring) -> dict[str, str]:
    """What the label of each device says."""
    words = {
        part.name: front_label_words(installation, part)
        for part in wiring.parts
        if part.place == "board" and (part.modules or part.kind == "main-switch")
    }
    if installation.rules == "nec":
        return {name: in_nec_words(said) for name, said in words.items()}
    return words


def lifelike_words(completed: Completed, layout: Layout, from_right: bool) -> str:
    """The alternative text: whence it is seen, what stands where, the caution."""
    installation, wiring = completed.installation, completed.case.wiring.drawn
    parts = layout.parts
    row = sorted(
        (each for each in parts.devices),
        key=lambda each: each.body.low[1 if parts.upright else 0],
    )
    order = "from the top" if parts.upright else "from left to right"
    sentences = [
        (
            f"The open board of {installation.title}, seen from above and from the"
            f" {'right' if from_right else 'left'}, as it is planned."
        ),
        f"Devices, {order}: " + "; ".join(spoken_part(completed, each.name) for each in row) + ".",
    ]
    for bar in parts.bars:
        sentences.append(f"{spoken_part(completed, bar.name)} at the {bar.side}.")
    if parts.line_bar is not None:
        joined = dict.fromkeys(
            tooth.terminal.partition(".")[0] for tooth in parts.line_bar.teeth if tooth.terminal
        )
        sentences.append(f"{bar_words(installation)} to {', '.join(joined) or 'no device yet'}.")
    for opening in parts.openings:
        where = "the back" if opening.side == "back" else f"the {opening.side}"
        sentences.append(
            f"{', '.join(opening_lines(installation, opening.name))}: through {where}."
        )
    leads = [
        (each, laid)
        for each in wiring.conductors
        if each.kind == "lead" and (laid := layout.by_id.get(each.id)) is not None
    ]
    sentences += [
        f"SPD lead {each.function}: {number_text(laid.length_m, 2)} m as laid."
        for each, laid in leads
    ]
    earth = earth_words(completed)
    sentences += [f"{earth}."] if earth else []
    cover = (
        "an opening for each device, every other place closed,"
        if parts.rail is None
        else "its window, its blanks"
    )
    sentences.append(f"The cover stands beside the box, with {cover} and a label for each way.")
    sentences.append("The wiring diagram names both ends of every conductor.")
    if installation.rules == "nec":
        sentences = [in_nec_words(each) for each in sentences]
    sentences.append(caution_line(installation.edition))
    return " ".join(each[0].upper() + each[1:] for each in sentences)
