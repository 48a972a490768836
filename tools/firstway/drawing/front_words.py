"""Drawing: what is written on and beside a board's front, the key of its terminals, and its
alternative text.
"""

from firstway.choosing.completing import Completed
from firstway.drawing.front_plan import FrontPlan, given_mm, rail_parts, side_of
from firstway.drawing.part_words import (
    KIND_WORDS,
    LONG_KIND,
    cable_words,
    device_facts,
    earth_words,
    spoken_part,
)
from firstway.model.installation import Amount, Installation, Terminals, Way
from firstway.model.nec_words import in_nec_words
from firstway.model.values import NONE, Absent, is_known, key_of
from firstway.rendering.figures import figure_in_formula
from firstway.rendering.html import caution_line
from firstway.wiring.graph import Part, Wiring

ASK = "ask the maker"
KEY_TITLE = "Terminals, as the makers state them"
KEY_HEAD = ("device", "torque", "strip", "conductor", "in one terminal", "ferrule")
FERRULE = {"stranded-only": "on stranded conductors", "always": "always", "never": "never"}
MOUNTED = {"wall": "wall-mounted", "flush": "flush-mounted", "free-standing": "free-standing"}


def begun(words: str) -> str:
    """Words as the beginning of a sentence: the rest keeps its capitals (100 A, IP4X)."""
    return words[:1].upper() + words[1:]


def mm(value: float | None) -> str:
    """A length as a dimension line says it."""
    return f"{figure_in_formula(value)} mm" if value is not None else "not known"


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
    if name not in ("feed", *names):
        return (name,)
    said = cable_words(installation, name)[0].partition(": ")[2].partition(", ")[0]
    if name == "feed":
        return ("feed", said) if said else ("feed",)
    points = ", ".join(installation.circuit(name).supplies)
    return tuple(filter(None, (name, "" if points == name else f"to {points}", said)))


def _way(installation: Installation, name: str) -> Way | None:
    return next((way for way in installation.board.ways if way.name == name), None)


# Beside the drawing


def notes(completed: Completed, plan: FrontPlan) -> list[tuple[str, str]]:
    """Sentences with their look: `bold`, `mark`, `plain` or `soft`."""
    installation = completed.installation
    found = [
        ("Seen from the front with the cover off, to scale.", "bold"),
        (enclosure_words(installation), "plain"),
        (places_words(installation, plan), "plain"),
        *((words, "bold") for words in live_words(installation)),
    ]
    found += [(words, "mark") for words in misfit_words(completed, plan)]
    if plan.tabbed:
        found.append(
            (
                (
                    "The file gives the order of the devices only: which places they take is a"
                    " proposal."
                ),
                "soft",
            )
        )
    sizes = (
        "Width of a tab place and length of a breaker"
        if plan.tabbed
        else "Modules after DIN 43880, from memory; height of devices"
    )
    found.append(
        (
            (
                f"{sizes}, bars and openings: usual sizes. The maker's drawing decides, and the"
                " marking on a device decides the order of its poles."
            ),
            "soft",
        )
    )
    return found


def enclosure_words(installation: Installation) -> str:
    """Material, the three sizes, mounting and protection, each or that it is not known."""
    enclosure = installation.board.enclosure
    if isinstance(enclosure, Absent):
        return "Enclosure: nothing is stated; ask the maker for its sizes."
    material = (
        str(enclosure.material).capitalize() + " enclosure"
        if is_known(enclosure.material)
        else "Enclosure"
    )
    sizes = [
        (given_mm(installation, key), word)
        for key, word in (("width_mm", "wide"), ("height_mm", "high"), ("depth_mm", "deep"))
    ]
    words = [f"{mm(value)} {word}" for value, word in sizes if value is not None]
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
    words += [str(enclosure.ip)] if is_known(enclosure.ip) else []
    asked = f" {begun(' and '.join(missing))} not known: ask the maker." if missing else ""
    return f"{material}: {', '.join(words)}.{asked}" if words else f"{material}.{asked}"


def places_words(installation: Installation, plan: FrontPlan) -> str:
    """How many module places there are, used and free, and what closes the free ones."""
    places = given_mm(installation, "modules")
    pitch = mm(plan.module)
    if places is None:
        return (
            f"{counted_words(plan.used, 'module place')} of {pitch} used; how many there are is not"
            " known: count them."
        )
    free = int(places) - plan.used
    words = f"{counted_words(int(places), 'module place')} of {pitch}: {plan.used} used"
    if free <= 0:
        return f"{words}, none free."
    closed = {True: "closed with blanks", False: "not closed with blanks"}.get(
        key_of(installation.board.enclosure, "spare_ways_blanked"),
        "whether blanks close them is not known",
    )
    undrawn = (
        f" {counted_words(plan.free_not_drawn, 'free place')} would not fit in this one row and"
        f" {'is' if plan.free_not_drawn == 1 else 'are'} not drawn."
        if plan.free_not_drawn
        else ""
    )
    return f"{words}, {free} free, {closed}.{undrawn}"


def live_words(installation: Installation) -> list[str]:
    """What stays connected to the supply when the board is switched off."""
    switch = installation.board.main_switch
    before = [way.name for way in installation.board.ways if way.fed_from == "supply-side"]
    also = f", and so {'does' if len(before) == 1 else 'do'} {', '.join(before)}" if before else ""
    if switch == NONE:
        return [
            "The lugs stay live until the supply is switched off where the feed begins" + also + "."
        ]
    if isinstance(switch, Absent):
        return []
    return [f"The incoming terminals of {switch.name} stay live when it is off{also}."]


def misfit_words(completed: Completed, plan: FrontPlan) -> list[str]:
    """What does not fit, in words; the finding of the check first."""
    words = []
    for finding in completed.findings:
        if finding.id == "modules-fit" and finding.level in ("fail", "danger"):
            words.append(f"Does not fit: {finding.message.rstrip('.')}.")
    width, height = (
        given_mm(completed.installation, "width_mm"),
        given_mm(completed.installation, "height_mm"),
    )
    if not plan.row_fits:
        along, inside = (plan.row.height, height) if plan.upright else (plan.row.width, width)
        across, other = (plan.row.width, width) if plan.upright else (plan.row.height, height)
        if inside is not None and along > inside:
            words.append(
                f"The devices are {mm(along)} in a row; the enclosure is {mm(inside)}"
                f" {'high' if plan.upright else 'wide'}."
            )
        elif other is not None and across > other:
            words.append(
                f"The devices are {mm(across)} {'wide' if plan.upright else 'high'}; the enclosure"
                f" is {mm(other)}."
            )
        else:
            words.append(
                "The devices and the bars on their sides need more room than the enclosure has."
            )
    outside = [name.replace("-", " ") for name, bar in plan.bars.items() if not bar.fits]
    if outside and plan.row_fits:
        words.append(f"No room is left for the {' and the '.join(outside)}: drawn outside.")
    if any(plan.shortened):
        words.append("The enclosure is drawn shortened where its walls are broken.")
    return words


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


def front_words(completed: Completed, plan: FrontPlan) -> str:
    """What is where, in the order a hand would meet it, then the key and the caution."""
    installation, wiring = completed.installation, completed.case.wiring.drawn
    end = side_of(installation, "main_switch_end", "top" if plan.tabbed else "right")
    sentences = [
        f"Front of the board of {installation.title}, cover off, to scale.",
        enclosure_words(installation),
        places_words(installation, plan),
        ("In two columns beside the bus, from the " if plan.tabbed else "On the rail, from the ")
        + f"{end} end: "
        + "; ".join(_spoken_device(completed, part) for part in rail_parts(wiring))
        + ".",
    ]
    if plan.bar is not None:
        sentences.append(bar_sentence(installation, wiring, plan))
    for name, bar in plan.bars.items():
        number = len(wiring.terminals_of(name))
        sentences.append(
            f"{name.replace('-', ' ').capitalize()} on the {bar.side} side,"
            f" {counted_words(number, 'terminal')} in use."
        )
    earth = earth_words(completed)
    sentences += [f"{earth}."] if earth else []
    for opening in plan.openings:
        where = "through the back" if opening.side == "back" else f"at the {opening.side}"
        sentences.append(
            f"{', '.join(opening_lines(installation, opening.name))}: opening {where}."
        )
    sentences += [*live_words(installation), *misfit_words(completed, plan)]
    sentences += [_spoken_row(name, what, cells) for name, what, cells in key_rows(installation)]
    if installation.rules == "nec":
        sentences = [in_nec_words(sentence) for sentence in sentences]
    sentences.append(caution_line(installation.edition))
    return " ".join(sentence[0].upper() + sentence[1:] for sentence in sentences)


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


def bar_sentence(installation: Installation, wiring: Wiring, plan: FrontPlan) -> str:
    joined = dict.fromkeys(
        (terminal.device, terminal.function)
        for _, device in plan.teeth
        if (terminal := wiring.terminal(device)) is not None
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
    return f"{bar_kind(installation)}, pitch {mm(float(bar.pitch_mm))}"


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
