"""Drawing: what is written on and beside a board's front, the key of its terminals, and its
alternative text.
"""

from firstway.choosing.completing import Completed
from firstway.drawing.front.scene import SeenFront, misfit_teeth
from firstway.drawing.part_words import (
    KIND_WORDS,
    LONG_KIND,
    bar_called,
    cable_words,
    device_facts,
    earth_words,
    spoken_part,
)
from firstway.layout.entries import EARTHS
from firstway.model.installation import Amount, Installation, Terminals, Way
from firstway.model.nec_words import in_nec_words
from firstway.model.values import NONE, Absent, is_known, key_of
from firstway.rendering.figures import figure_in_formula, number_text
from firstway.rendering.html import caution_line
from firstway.wiring.graph import Part
from firstway.workings.shared.other_sources import on_the_board

ASK = "ask the maker"
MM_PER_INCH = 25.4  # exact since the international yard and pound of 1959
KEY_TITLE = "Terminals, as the makers state them"
KEY_HEAD = ("device", "torque", "strip", "conductor", "in one terminal", "ferrule")
FERRULE = {"stranded-only": "on stranded conductors", "always": "always", "never": "never"}
MOUNTED = {"wall": "wall-mounted", "flush": "flush-mounted", "free-standing": "free-standing"}


def begun(words: str) -> str:
    """Words as the beginning of a sentence: the rest keeps its capitals (100 A, IP4X)."""
    return words[:1].upper() + words[1:]


def mm(value: float | None, rules: str = "") -> str:
    """A length as a dimension line says it; under rule set nec in inches too.

    >>> mm(360.0), mm(360.0, "nec")
    ('360 mm', '360 mm (14.17 in)')
    """
    if value is None:
        return "not known"
    inches = f" ({number_text(value / MM_PER_INCH, 2)} in)" if rules == "nec" else ""
    return f"{figure_in_formula(value)} mm{inches}"


def counted_words(number: int, one: str) -> str:
    return f"{number} {one}" if number == 1 else f"{number} {one}s"


def front_label_words(installation: Installation, part: Part) -> str:
    """What the label strip says of a way: what it feeds."""
    if part.kind == "main-switch":
        return "main switch"
    way = _way(installation, part.name)
    if part.kind == "blank" or way is None:
        return ""
    if part.kind == "spd":
        return "surge protection"
    if is_known(way.feeds):
        return str(way.feeds)
    fed = [other.name for other in installation.board.ways if other.fed_from == part.name]
    return "feeds " + ", ".join(fed) if fed else LONG_KIND.get(part.kind, part.kind)


def device_lines(installation: Installation, part: Part) -> tuple[str, tuple[str, ...]]:
    """A device's name and what is printed under it, each fact unbroken."""
    return part.name, tuple(device_facts(installation, part))


def opening_lines(installation: Installation, name: str) -> tuple[str, ...]:
    """Beside an opening: what passes it. Several circuits through one opening are named only."""
    names = [circuit.name for circuit in installation.circuits]
    if name == EARTHS:
        return ("earth wires",)
    if name not in ("feed", *names):
        return (name,)
    said = cable_words(installation, name)[0].partition(": ")[2].partition(", ")[0]
    said = in_nec_words(said) if installation.rules == "nec" else said
    if name == "feed":
        return ("feed", said) if said else ("feed",)
    points = ", ".join(installation.circuit(name).supplies)
    return tuple(filter(None, (name, "" if points == name else f"to {points}", said)))


def _way(installation: Installation, name: str) -> Way | None:
    return next((way for way in installation.board.ways if way.name == name), None)


# Beside the drawing


def notes(front: SeenFront) -> list[tuple[str, str]]:
    """Sentences with their look: `bold`, `mark`, `plain` or `soft`."""
    installation = front.installation
    found = [
        ("Seen from the front with the cover off, to scale.", "bold"),
        (enclosure_words(front), "plain"),
        (places_words(front), "plain"),
        *((words, "bold") for words in live_words(installation)),
        *((words, "mark") for words in misfit_words(front)),
        *((words, "plain") for words in unused_teeth_words(front)),
    ]
    if front.tabbed:
        words = (
            "The file gives the order of the devices only: which places they take is a proposal."
        )
        found.append((words, "soft"))
    found += [(words, "soft") for words in taken_words(front)]
    words = (
        "The maker's drawing decides, and the marking on a device decides the order of its poles."
    )
    return [*found, (words, "soft")]


_TAKEN_SIZES = {
    "width_mm": "the enclosure {} wide",
    "height_mm": "the enclosure {} high",
    "depth_mm": "the enclosure {} deep",
    "pitch_mm": "the pitch of the line bar {}",
    "device-height": "devices {} high",
    "tabbed-breaker-length": "breakers {} long",
    "clamp-inset": "screws {} from a device's end",
    "wall-steel": "walls {} thick",
    "wall-aluminium": "walls {} thick",
    "wall-plastic": "walls {} thick",
    "bar-terminal-pitch": "screws of bars {} apart",
    "bar-inset": "bars {} from the wall",
    "line-bar-offset": "the line bar {} from the devices",
}
_TAKEN_PLACES = {
    "material": "the enclosure is of {}",
    "feed_enters": "the feed enters at the {}",
    "circuits_leave": "circuits leave at the {}",
    "main_switch_end": "the main switch stands at the {} end",
    "neutral_bar": "the neutral bar hangs at the {}",
    "earth_bar": "the earth bar hangs at the {}",
}


def taken_words(front: SeenFront) -> list[str]:
    """What the file does not state and the plan took: places, then sizes."""
    taken = {each.what: each.value for each in front.plan.assumptions}
    places = [
        words.format(taken[key]).replace("at the back", "through the back")
        for key, words in _TAKEN_PLACES.items()
        if key in taken
    ]
    rules = front.installation.rules
    sizes = [
        words.format(mm(float(taken[key]), rules))
        for key, words in _TAKEN_SIZES.items()
        if key in taken
    ]
    found = [f"Not stated in the file, so assumed: {', '.join(places)}."] if places else []
    return [*found, *([f"Usual sizes, assumed: {', '.join(sizes)}."] if sizes else [])]


def unused_teeth_words(front: SeenFront) -> list[str]:
    """What is done with teeth of the line bar that serve no device."""
    bar, busbar = front.plan.line_bar, front.installation.board.busbar
    if bar is None or isinstance(busbar, Absent) or busbar.style in ("tabs", "links"):
        return []
    number = sum(not tooth.terminal for tooth in bar.teeth)
    if not number:
        return []
    words = "tooth of the line bar serves" if number == 1 else "teeth of the line bar serve"
    return [
        f"{number} {words} no device: cut off or covered as the maker says. A cap closes each end."
    ]


def enclosure_words(front: SeenFront) -> str:
    """Material, the three sizes, mounting and protection, each or that it is not known."""
    enclosure = front.installation.board.enclosure
    if isinstance(enclosure, Absent):
        return "Enclosure: nothing is stated; ask the maker for its sizes."
    material = (
        str(enclosure.material).capitalize() + " enclosure"
        if is_known(enclosure.material)
        else "Enclosure"
    )
    sizes = [
        (front.given(key), word)
        for key, word in (("width_mm", "wide"), ("height_mm", "high"), ("depth_mm", "deep"))
    ]
    rules = front.installation.rules
    words = [f"{mm(value, rules)} {word}" for value, word in sizes if value is not None]
    missing = [
        {"wide": "width", "high": "height", "deep": "depth"}[word]
        for value, word in sizes
        if value is None
    ]
    words += (
        [MOUNTED.get(str(enclosure.mounting), str(enclosure.mounting))]
        if is_known(enclosure.mounting)
        else []
    )
    opens = key_of(enclosure.pillar, "opens_with")
    words += [f"a pillar opened by {opens}"] if is_known(opens) else []
    cupboard = key_of(front.installation.board.place, "cupboard")
    stairs = is_known(cupboard) and cupboard.under_stairs is True
    words += ["in a cupboard under stairs"] if stairs else []
    words += [str(enclosure.ip)] if is_known(enclosure.ip) else []
    asked = f" {begun(' and '.join(missing))} not known: ask the maker." if missing else ""
    return f"{material}: {', '.join(words)}.{asked}" if words else f"{material}.{asked}"


def places_words(front: SeenFront) -> str:
    """How many module places there are, those devices use, blanks close, and are free."""
    places, pitch = front.given("modules"), mm(front.module, front.installation.rules)
    if places is None:
        return (
            f"{counted_words(front.used, 'module place')} of {pitch} used; how many there are is"
            " not known: count them."
        )
    free = int(places) - front.used
    covered = sum(max(part.modules, 1) for part, _ in front.devices if part.kind == "blank")
    used = f"{front.used - covered} used"
    words = f"{counted_words(int(places), 'module place')} of {pitch}: {used}"
    if covered:
        words += f", {covered} closed with blanks"
    if free <= 0 and covered:
        return f"{words}."
    if free <= 0:
        return f"{words}, none free."
    closed = {True: "closed with blanks", False: "not closed with blanks"}.get(
        key_of(front.installation.board.enclosure, "spare_ways_blanked"),
        "whether blanks close them is not known",
    )
    if front.tabbed:
        closed = closed.replace(" with blanks", "").replace("blanks close them", "they are closed")
    undrawn = (
        f" {counted_words(front.undrawn, 'free place')} would not fit in this one row and"
        f" {'is' if front.undrawn == 1 else 'are'} not drawn."
        if front.undrawn
        else ""
    )
    return f"{words}, {free} free, {closed}.{undrawn}"


def live_words(installation: Installation) -> list[str]:
    """What stays connected to the supply when the board is switched off."""
    switch = installation.board.main_switch
    before = [way.name for way in installation.board.ways if way.fed_from == "supply-side"]
    also = f", and so {'does' if len(before) == 1 else 'do'} {', '.join(before)}" if before else ""
    others = " and ".join(str(source.name) for source in on_the_board(installation))
    kept = [f"Everything here may stay live from {others}: isolate there too."] if others else []
    if switch == NONE:
        return [
            "The lugs stay live until the supply is switched off where the feed begins"
            + also
            + ".",
            *kept,
        ]
    if isinstance(switch, Absent):
        return kept
    return [f"The incoming terminals of {switch.name} stay live when it is off{also}.", *kept]


def misfit_words(front: SeenFront) -> list[str]:
    """What does not fit, in words; the finding of the check first."""
    words = [
        f"Does not fit: {finding.message.rstrip('.')}."
        for finding in front.completed.findings
        if finding.id == "modules-fit" and finding.level in ("fail", "danger")
    ]
    words += _row_words(front)
    outer = front.plan.outer
    outside = [
        bar_called(front.wiring, bar.name)
        for bar in front.plan.bars
        if any(
            bar.box.low[axis] < -0.01 or bar.box.high[axis] > outer.high[axis] + 0.01
            for axis in (0, 1)
        )
    ]
    if outside:
        words.append(f"No room is left for the {' and the '.join(outside)}: drawn outside.")
    crowded = [side for side in front.plan.crowded if side != "devices"]
    words += [
        f"On the {side} side there is not room enough for all that stands there."
        for side in dict.fromkeys(crowded)
        if side in ("left", "right", "top", "bottom")
    ]
    return [*words, *_teeth_words(front)]


def _row_words(front: SeenFront) -> list[str]:
    """Devices that are more than the enclosure holds."""
    row, outer = front.row, front.plan.outer
    width, height = front.given("width_mm"), front.given("height_mm")
    rules = front.installation.rules
    if width is not None and row.width > width:
        return [
            f"The devices are {mm(row.width, rules)} in a row; the enclosure is"
            f" {mm(width, rules)} wide."
        ]
    if height is not None and row.height > height:
        return [
            f"The devices are {mm(row.height, rules)} high; the enclosure is {mm(height, rules)}."
        ]
    inside = (
        row.x >= -0.01
        and row.y >= -0.01
        and row.right <= outer.high[0] + 0.01
        and row.bottom <= outer.high[1] + 0.01
    )
    if inside and "devices" not in front.plan.crowded:
        return []
    return ["The devices and the bars on their sides need more room than the enclosure has."]


def _teeth_words(front: SeenFront) -> list[str]:
    """Teeth that miss their terminal, or carry another line."""
    found = []
    beside = [(terminal, off) for terminal, off, _ in misfit_teeth(front) if off]
    if beside:
        each = ", ".join(
            f"{terminal.replace('.', ' ')} by {mm(round(off, 1), front.installation.rules)}"
            for terminal, off in beside
        )
        found.append(f"The teeth of the line bar miss terminals at its pitch: {each}.")
    for terminal, _, line in misfit_teeth(front):
        if line:
            found.append(
                f"The tooth at {terminal.replace('.', ' ')} carries {line} by the order of the"
                " bar's lines: give the way that line, or choose another bar."
            )
    return found


# Key


def key_rows(installation: Installation) -> list[tuple[str, str, tuple[str, ...]]]:
    """For each device outward from the main switch: name, what it is, and its cells; for bars and
    lugs too.
    """
    board = installation.board
    rows = []
    if not isinstance(board.main_switch, Absent):
        words = [KIND_WORDS["main-switch"], *_rating(board.main_switch.rating_a)]
        rows.append((board.main_switch.name, ", ".join(words), _cells(board.main_switch.terminals)))
    elif board.main_switch == NONE:
        rows.append(("lugs", "of the incoming lines", _cells(board.main_switch)))
    for way in board.ways:
        if way.device != "blank":
            words = [KIND_WORDS.get(str(way.device), str(way.device)), *_rating(way.rating_a)]
            words += [f"feeds {way.feeds}"] if is_known(way.feeds) else []
            rows.append((way.name, ", ".join(words), _cells(way.terminals)))
    rows.append(("bars", "neutral and earth", _cells(NONE)))
    if installation.rules == "nec":
        rows = [(name, in_nec_words(what), cells) for name, what, cells in rows]
    return rows


def _rating(rating: Amount) -> list[str]:
    return [f"{figure_in_formula(float(rating))} A"] if is_known(rating) else []


def _cells(terminals: Terminals | Absent) -> tuple[str, ...]:
    """Only what the maker states; the torque of a type test is no tightening torque and never
    stands here.
    """
    if isinstance(terminals, Absent):
        return (ASK,) * 5
    torque = (
        _figure(terminals.torque_nm, "N·m")
        if is_known(terminals.torque_nm)
        else _figure(terminals.torque_lbf_in, "lbf·in")
    )
    sizes = (
        f"{figure_in_formula(float(terminals.min_mm2))} to"
        f" {figure_in_formula(float(terminals.max_mm2))} mm²"
        if is_known(terminals.min_mm2) and is_known(terminals.max_mm2)
        else ASK
    )
    ferrule = (
        FERRULE.get(terminals.ferrule, str(terminals.ferrule))
        if isinstance(terminals.ferrule, str)
        else ASK
    )
    return (
        torque,
        _figure(terminals.strip_mm, "mm"),
        sizes,
        _figure(terminals.conductors, ""),
        ferrule,
    )


def _figure(value: Amount, unit: str) -> str:
    return f"{figure_in_formula(float(value))} {unit}".strip() if is_known(value) else ASK


KEY_NOTE = (
    "Tighten with a calibrated driver to the maker's figure and record it. Where the maker states"
    " nothing, ask; a figure from a type test is no tightening torque."
)


# Alternative text


def front_words(front: SeenFront) -> str:
    """What is where, in the order a hand would meet it, then the key and the caution."""
    completed, installation = front.completed, front.installation
    wiring, plan = front.wiring, front.plan
    sentences = [
        f"Front of the board of {installation.title}, cover off, to scale.",
        enclosure_words(front),
        places_words(front),
        ("In two columns beside the bus, from the " if front.tabbed else "On the rail, from the ")
        + f"{main_end(front)} end: "
        + "; ".join(_spoken_device(completed, part) for part, _ in front.devices)
        + ".",
    ]
    if plan.line_bar is not None:
        sentences.append(bar_sentence(front))
    for bar in plan.bars:
        number = len(wiring.terminals_of(bar.name))
        sentences.append(
            f"{bar.name.replace('-', ' ').capitalize()} on the {bar.side} side,"
            f" {counted_words(number, 'terminal')} in use."
        )
    earth = earth_words(completed)
    sentences += [f"{earth}."] if earth else []
    sentences += opening_sentences(front)
    sentences += [*live_words(installation), *misfit_words(front), *unused_teeth_words(front)]
    sentences += taken_words(front)
    sentences += [_spoken_row(name, what, cells) for name, what, cells in key_rows(installation)]
    return alternative_text(front, sentences)


def alternative_text(front: SeenFront, sentences: list[str]) -> str:
    """Sentences in the words of the rule set, and the caution."""
    installation = front.installation
    if installation.rules == "nec":
        sentences = [in_nec_words(sentence) for sentence in sentences]
    sentences = [*sentences, caution_line(installation.edition)]
    return " ".join(sentence[0].upper() + sentence[1:] for sentence in sentences)


def main_end(front: SeenFront) -> str:
    """The end at which the devices begin."""
    end = getattr(front.installation.board.enclosure, "main_switch_end", None)
    if isinstance(end, str) and end in ("left", "right", "top", "bottom"):
        return end
    taken = {each.what: str(each.value) for each in front.plan.assumptions}
    return taken.get("main_switch_end", "right")


def opening_sentences(front: SeenFront) -> list[str]:
    """Where each cable passes the wall."""
    found = []
    for opening in front.plan.openings:
        where = "through the back" if opening.side == "back" else f"at the {opening.side}"
        held = ", with a gland" if opening.gland else ""
        cable = ", ".join(opening_lines(front.installation, opening.name))
        found.append(f"{cable}: opening {where}{held}.")
    return found


def _spoken_device(completed: Completed, part: Part) -> str:
    label = front_label_words(completed.installation, part)
    feeds = (
        f", feeds {label}"
        if part.kind not in ("main-switch", "spd", "blank")
        and label
        and not label.startswith("feeds")
        else ""
    )
    modules = counted_words(max(part.modules, 1), "module")
    return f"{spoken_part(completed, part.name)}, {modules}{feeds}"


def bar_sentence(front: SeenFront) -> str:
    """What the line bar joins."""
    installation, wiring, bar = front.installation, front.wiring, front.plan.line_bar
    rank = {part.name: place for place, (part, _) in enumerate(front.devices)}
    served = [wiring.terminal(tooth.terminal) for tooth in (bar.teeth if bar else ())]
    joined = dict.fromkeys(
        (terminal.device, terminal.function)
        for terminal in sorted(filter(None, served), key=lambda each: rank.get(each.device, 0))
    )
    names = list(dict.fromkeys(device for device, _ in joined))
    each = [
        f"{name} {' '.join(function for device, function in joined if device == name)}"
        for name in names
    ]
    return (
        f"{begun(bar_kind(installation))} joins {', '.join(each)}."
        if each
        else f"{begun(bar_kind(installation))} joins nothing yet."
    )


def bar_kind(installation: Installation) -> str:
    """What joins the devices, and its rating."""
    bar = installation.board.busbar
    if isinstance(bar, Absent) or not is_known(bar.style):
        return "line bar, kind not known"
    words = {
        "pin": "pin-type bar",
        "fork": "fork-type bar",
        "tabs": "tabbed bar",
        "links": "wire links",
    }.get(str(bar.style), "line bar")
    return (
        f"{words}, {figure_in_formula(float(bar.rating_a))} A"
        if is_known(bar.rating_a) and bar.style != "links"
        else words
    )


def bar_caption(installation: Installation) -> str:
    """Beside the line bar: its kind, rating, and the pitch its maker gives."""
    bar = installation.board.busbar
    if isinstance(bar, Absent) or not is_known(bar.pitch_mm) or bar.style in ("tabs", "links"):
        return bar_kind(installation)
    return f"{bar_kind(installation)}, pitch {mm(float(bar.pitch_mm), installation.rules)}"


def _spoken_row(name: str, what: str, cells: tuple[str, ...]) -> str:
    if all(cell == ASK for cell in cells):
        return (
            f"Terminals of {name}: ask the maker for torque, strip length, conductors and ferrule."
        )
    torque, strip, sizes, number, ferrule = cells
    return (
        f"Terminals of {name}: torque {torque}; strip {strip}; conductor {sizes}; in one terminal"
        f" {number}; ferrule {ferrule}."
    )
