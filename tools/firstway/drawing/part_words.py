"""Drawing: what is written on parts and conductors, and the alternative text of the wiring, from
the data.
"""

from firstway.calculations.adding import added
from firstway.choosing.completing import Completed
from firstway.drawing.text_width import reserved_width, wrapped
from firstway.model.installation import Amount, ChargingPoint, Installation, Way
from firstway.model.nec_words import GROUND, in_nec_words
from firstway.model.values import Absent, is_known
from firstway.rendering.figures import figure_in_formula
from firstway.rendering.html import caution_line
from firstway.wiring.graph import MAIN_EARTH, ORIGIN_EARTH, Conductor, Part, Wiring
from firstway.wiring.upstream import device_at_path, devices_of_feed

KIND_WORDS = {
    "spd": "SPD",
    "rcbo": "RCBO",
    "rcd": "RCD",
    "circuit-breaker": "breaker",
    "fuse": "fuse",
    "contactor": "contactor",
    "blank": "blank",
    "main-switch": "main switch",
    "origin": "origin",
    "main-earthing-terminal": "main earthing terminal",
    "charging-point": "charging point",
    "electrode": "earth electrode",
    "bonded-part": "metal bonded at the board",
    "neutral-bar": "neutral bar",
    "earth-bar": "earth bar",
    "line-bar": "line bar",
}
LONG_KIND = {
    **KIND_WORDS,
    "spd": "surge protective device",
    "rcd": "residual current device",
    "rcbo": "residual current circuit-breaker with overcurrent protection (RCBO)",
    "circuit-breaker": "circuit-breaker",
    "blank": "blank cover",
}
# Common practice: the words of rule set nec.
NEC_WORDS = {"earth-bar": "ground bar", "electrode": "grounding electrode"}
BAR_STYLE = {
    "pin": "pin-type bar",
    "fork": "fork-type bar",
    "tabs": "tabbed bar",
    "links": "wire links",
}
CONSTRUCTION = {
    "single-core": "single cores",
    "flat-twin-and-earth": "flat twin and earth",
    "armoured": "armoured",
    "multicore": "multicore",
    "nm": "nonmetallic-sheathed",
}
FERRULE_MARKS = {"always": "f", "stranded-only": "(f)", "never": "no f"}
ENCLOSURE = "enclosure.PE"  # the metal of the board's enclosure, in the whole graph
COLOUR_WORDS = {"green-and-yellow": "green-yellow"}


def in_words_of(installation: Installation, words: str) -> str:
    """Words of ours in those of the rule set of a job."""
    return in_nec_words(words) if installation.rules == "nec" else words


def amount(value: Amount, unit: str) -> str:
    """A figure of the file with its unit, or what is known of it."""
    if not is_known(value):
        return f"{unit} not known"
    return f"{figure_in_formula(float(value))} {unit}"


# On parts


def drawn_device_words(
    installation: Installation, part: Part, width: float
) -> list[tuple[str, bool]]:
    """Lines on a device front, name first; a line too wide for the front is broken."""
    lines = [(part.name, True)]
    for words in _side_by_side(
        [*device_facts(installation, part), *opens_words(installation, part)], width
    ):
        lines += [(line, False) for line in wrapped(words, 12, width)]
    return lines


def _side_by_side(facts: list[str], width: float) -> list[str]:
    """Residual current and type in one line where it is wide enough; else kind and rating, so that
    all has room.
    """
    for place, (one, other) in enumerate(zip(facts, facts[1:])):
        if one.endswith(" mA") and reserved_width(f"{one}, {other}", 12) <= width:
            return [*facts[:place], f"{one}, {other}", *facts[place + 2 :]]
    if len(facts) > 4 and reserved_width(f"{facts[0]} {facts[1]}", 12) <= width:
        return [f"{facts[0]} {facts[1]}", *facts[2:]]
    return facts


def device_facts(installation: Installation, part: Part) -> list[str]:
    """What is printed on a device, line by line."""
    if part.kind == "main-switch":
        switch = installation.board.main_switch
        rating = (
            ""
            if isinstance(switch, Absent) or not is_known(switch.rating_a)
            else amount(switch.rating_a, "A")
        )
        return ["main switch", rating] if rating else ["main switch"]
    way = next((way for way in installation.board.ways if way.name == part.name), None)
    if part.kind == "blank":
        kept = [f"for {each.name}" for each in installation.later_points if each.way == part.name]
        return [KIND_WORDS["blank"], *kept]
    if way is None:
        return [KIND_WORDS.get(part.kind, part.kind)]
    if part.kind == "spd":
        kind = (
            f"type {figure_in_formula(float(way.type))}" if is_known(way.type) else "type not known"
        )
        return [
            "SPD",
            kind,
            *(
                [str(way.connection)]
                if is_known(way.connection) and way.connection in ("CT1", "CT2")
                else []
            ),
        ]
    words = [KIND_WORDS.get(part.kind, part.kind), rating_words(way)]
    if way.device not in ("rcbo", "rcd"):
        return words
    if is_known(way.rated_residual_current_ma):
        words.append(amount(way.rated_residual_current_ma, "mA"))
    if is_known(way.residual_type):
        words.append(f"type {way.residual_type}" + (" S" if way.delay == "S" else ""))
    return words


def opens_words(installation: Installation, part: Part) -> list[str]:
    """Which live conductors a residual current device opens, where a neutral passes it; two that
    look alike differ in this.
    """
    if part.kind not in ("rcbo", "rcd"):
        return []
    way = installation.way(part.name)
    if is_known(way.feeds) and installation.circuit(str(way.feeds)).neutral is not True:
        return []
    lines = (
        len(installation.circuit(str(way.feeds)).lines)
        if is_known(way.feeds)
        else 1
        if is_known(way.line)
        else way.protected_poles
    )
    if not is_known(way.switched_poles) or not is_known(lines):
        return ["opens N: ask"]
    live = "L" if lines == 1 else f"{lines:g}L"
    return [f"opens {live}+N" if way.switched_poles > lines else f"opens {live} only"]


def rating_words(way: Way) -> str:
    curve = f"{way.curve} " if is_known(way.curve) else ""
    return curve + (amount(way.rating_a, "A") if is_known(way.rating_a) else "rating not known")


def far_words(installation: Installation, part: Part, width: float) -> list[tuple[str, bool]]:
    """Lines on a far place, the first one bold."""
    if part.kind == "origin":
        feed = installation.feed
        where = {
            "connector-block": "Connector block",
            "existing-board-way": "Existing board",
            "new-service": "New service",
        }.get(str(getattr(feed, "from_", "")), "Origin")
        lines = [(where, True), *(((words, False)) for words in cable_words(installation, "feed"))]
        if where == "Connector block":
            lines.insert(1, ("authorised person only", False))
        boards = [board.name for board in installation.existing_boards]
        lines += surge_lines(installation, "origin", *boards)
    elif part.kind == "charging-point":
        point = installation.point(part.name)
        current = amount(point.current_a, "A") if is_known(point.current_a) else ""
        lines = [(part.name, True), (f"charging point {current}".strip(), False)]
        lines += [
            (line, False)
            for circuit in installation.circuits
            if part.name in circuit.supplies[:1]
            for line in cable_words(installation, circuit.name)
        ]
        lines += [(words, False) for words in several_words(installation, point)]
        lines += surge_lines(installation, part.name)
    elif part.kind == "main-earthing-terminal":
        lines = [("MET", True)] if width < 130 else [("Main earthing terminal", True)]
    elif part.kind == "electrode":
        item = installation.electrode(part.name)
        lines = [(part.name, True)]
        if item is not None and item.use == "measuring":
            lines.append(("for measuring only, joined to nothing", False))
    elif part.kind == "bonded-part":
        lines = [("Metal bonded here", True)]
    else:
        lines = [(part.name.replace("-", " "), True)]
    if installation.rules == "nec":
        lines = [(in_nec_words(words), bold) for words, bold in lines]
    return [(line, bold) for words, bold in lines for line in wrapped(words, 12, width, bold)]


def surge_lines(installation: Installation, *places: str) -> list[tuple[str, bool]]:
    """The surge protective devices that stand at these places, a line each."""
    return [
        (
            f"{device.name}: SPD"
            + (f" type {device.type:g}" if is_known(device.type) else "")
            + ("" if device.at in ("origin", places[0]) else f" in {device.at}"),
            False,
        )
        for device in installation.surge_devices
        if device.at in places
    ]


def several_words(installation: Installation, point: ChargingPoint) -> list[str]:
    """What a point among several must say: the limit it shares, and the order of its lines."""
    shared, lines = installation.shared_limit, []
    if not isinstance(shared, Absent) and point.name in shared.points:
        others = ", ".join(name for name in shared.points if name != point.name)
        lines.append(f"shares {amount(shared.limit_a, 'A')} a line with {others}")
    if is_known(point.line_order):
        lines.append(f"lines in order {', '.join(point.line_order)}")
    return lines


def armour_words(installation: Installation) -> list[str]:
    """Where the armour of the feed of a detached board is earthed: the hands must know it at the
    gland.
    """
    cable = getattr(installation.feed, "cable", None)
    if not installation.board_is_detached or getattr(cable, "construction", "") != "armoured":
        return []
    told = {
        "far-end": "armour: free at the board",
        "board-end": "armour: free at the origin",
        "both-ends": "armour: earthed at both ends",
        "neither-end": "armour: earthed nowhere",
    }
    end = getattr(cable, "armour_earthed", "")
    return [told.get(str(end), "armour: earthed where?")]


def through_words(installation: Installation) -> list[str]:
    """The devices the feed runs through, from the origin on: each as short as a label. A neutral
    is drawn into the box of a fuse, so the box says that it is not fused.
    """
    neutral = installation.rules != "nec"
    found = []
    for name, kind, path in devices_of_feed(installation):
        device = device_at_path(installation, path)
        rating = getattr(device, "rating_a", None)
        residual = getattr(device, "rated_residual_current_ma", None)
        words = {"rcd": "RCD", "existing-way": f"a way of {name.rpartition('-')[0]}"}.get(
            kind, kind
        )
        found.append(
            " ".join(
                [
                    words,
                    *([amount(rating, "A")] if isinstance(rating, (int, float)) else []),
                    *([amount(residual, "mA")] if isinstance(residual, (int, float)) else []),
                ]
            )
            + (" (N not fused)" if neutral and kind in ("fuse", "switch-fuse") else "")
        )
    return found


def bar_words(installation: Installation) -> str:
    """What the line bar is."""
    bar = installation.board.busbar
    if isinstance(bar, Absent):
        return "line bar"
    rating = f", {amount(bar.rating_a, 'A')}" if is_known(bar.rating_a) else ""
    return f"{BAR_STYLE.get(str(bar.style), 'line bar')}{rating}"


def cable_words(installation: Installation, name: str) -> list[str]:
    """Beside a cable: what it is and how long."""
    if name == "feed":
        feed = installation.feed
        if isinstance(feed, Absent) or isinstance(feed.cable, Absent):
            return ["feed"]
        cable, route = feed.cable, feed.route
    else:
        circuit = installation.circuit(name)
        cable, route = circuit.cable, circuit.route
    words = []
    size = (
        f"{figure_in_formula(float(cable.csa_mm2))} mm²"
        if is_known(cable.csa_mm2)
        else (f"{cable.size_awg} AWG" if is_known(cable.size_awg) else "")
    )
    kind = CONSTRUCTION.get(str(cable.construction), "")
    cores = (
        f"{int(cable.cores)}-core "
        if is_known(cable.cores) and cable.construction != "flat-twin-and-earth"
        else ""
    )
    words.append(f"{name}: {size} {cores}{kind}".strip())
    if route:
        words.append(f"{figure_in_formula(added(float(part.length_m) for part in route))} m")
    return [" ".join(words[:1]) + (f", {words[1]}" if len(words) > 1 else "")]


# On conductors


def colour_word(conductor: Conductor) -> str:
    return COLOUR_WORDS.get(conductor.colour, conductor.colour)


def function_mark(function: str, rules: str) -> str:
    """What stands at a terminal for its function: the nec marks the equipment ground G."""
    return GROUND if rules == "nec" and function == "PE" else function


def label_words(conductor: Conductor, rules: str = "") -> tuple[str, ...]:
    """Function, size, colour and ferrule: the words of a conductor's label; the mark of the ferrule
    stays with the word before it.
    """
    if conductor.kind == "armour":
        return (
            ("PE", "armour")
            if any(end.rpartition(".")[2].isdigit() for end in (conductor.start, conductor.end))
            else ("armour", "left free")
        )
    words = [
        function_mark(conductor.function, rules),
        conductor.size or "size ?",
        *([colour_word(conductor)] if conductor.colour else []),
    ]
    mark = FERRULE_MARKS.get(conductor.ferrule, "")
    return (*words[:-1], f"{words[-1]}\N{NO-BREAK SPACE}{mark}") if mark else tuple(words)


def ferrule_key(wiring: Wiring) -> str:
    """What the marks on these labels mean, and what it means where there is none."""
    used = {
        FERRULE_MARKS[c.ferrule]
        for c in wiring.conductors
        if c.kind not in ("bar", "armour") and c.ferrule in FERRULE_MARKS
    }
    words = {"f": "ferrule", "(f)": "ferrule if stranded", "no f": "no ferrule"}
    return (
        "; ".join(
            [
                *(f"{mark}: {said}" for mark, said in words.items() if mark in used),
                "no mark: ask the maker",
            ]
        )
        if used
        else "ferrules not stated: ask the maker"
    )


def class_two_words(installation: Installation) -> str:
    """What an insulated enclosure says of the metal in it, "" where it is none."""
    box = installation.board.enclosure
    if not is_known(box) or box.double_or_reinforced_insulation is not True:
        return ""
    told = {
        True: "metal inside it is joined to earth, which must not be",
        False: "metal inside it is joined to nothing",
    }
    inside = told.get(box.inner_metal_earthed, "") if is_known(box.inner_metal_earthed) else ""
    return "insulated enclosure, class II; " + (
        inside or "whether metal inside it is earthed was not looked at"
    )


def earth_words(completed: Completed) -> str:
    """How the enclosure's metal is joined to earth, "" where it has none."""
    wiring = completed.case.wiring
    if wiring.terminal(ENCLOSURE) is None:
        return class_two_words(completed.installation)
    joints = wiring.conductors_at(ENCLOSURE)
    if not joints:
        words = "the metal of the enclosure is joined to no protective conductor"
    elif any(joint.doubt for joint in joints):
        words = "how the metal of the enclosure is earthed is not known"
    elif joints[0].kind == "bar":
        words = "the earth bar is screwed to the metal of the enclosure"
    else:
        words = (
            f"a protective conductor ({joints[0].size or 'size not known'}) joins the metal of the"
            " enclosure to the earth bar"
        )
    return in_nec_words(words) if completed.installation.rules == "nec" else words


# Alternative text


def bar_called(wiring: Wiring, name: str) -> str:
    """The name of a bar; where several of its kind stand, the one all share is the main one: a
    conductor on the wrong one bridges a residual current device.
    """
    part = wiring.part(name)
    words = name.replace("-", " ")
    alone = sum(part is not None and each.kind == part.kind for each in wiring.parts) < 2
    return words if alone or part is None or name != part.kind else f"main {words}"


def spoken_terminal(wiring: Wiring, terminal_id: str) -> str:
    terminal = wiring.terminal(terminal_id)
    if terminal is None:
        return terminal_id
    part = wiring.part(terminal.device)
    kind = part.kind if part else ""
    tail = terminal_id.rpartition(".")[2]
    if kind in ("neutral-bar", "earth-bar"):
        return (
            f"{bar_called(wiring, terminal.device)} terminal {tail}"
            if tail.isdigit()
            else f"{terminal_id.replace('.', ' ')}, left free"
        )
    if kind == "line-bar":
        return f"line bar {terminal.function} at {tail}"
    if kind == "main-earthing-terminal":
        return "the main earthing terminal"
    if terminal_id == ORIGIN_EARTH and wiring.terminal(MAIN_EARTH):
        return "the supply's earth"
    end = (
        f" {terminal.end}"
        if terminal.end in ("supply", "load")
        and kind not in ("origin", "charging-point", "electrode", "spd")
        else ""
    )
    if ".parked." in terminal_id:
        return f"{terminal.device}, parked and joined to nothing"
    if ".outlet." in terminal_id:
        return f"{terminal.device} outlet {terminal.function}"
    if tail == "armour":
        return f"{terminal.device} cable gland"
    return f"{terminal.device}{end} {terminal.function}"


def spoken_conductor(
    wiring: Wiring, conductor: Conductor, with_ferrule: bool = True, among_others: bool = False
) -> str:
    """One conductor as a sentence without its full stop; `among_others` that are all conductors it
    is not called one.
    """
    kind = {"bar": "bar", "armour": "armour"}.get(conductor.kind, "conductor")
    look = (
        []
        if kind != "conductor"
        else [conductor.size or "size not known", *([conductor.colour] if conductor.colour else [])]
    )
    length = (
        f", {figure_in_formula(conductor.length_m)} m"
        if conductor.length_m is not None and kind != "bar"
        else ""
    )
    ferrule = {
        "always": ", ferrule",
        "stranded-only": ", ferrule if stranded",
        "never": ", no ferrule",
    }.get(conductor.ferrule if with_ferrule else "", "")
    detail = f" ({', '.join(look)}{length}{ferrule})" if look else ""
    called = "" if among_others and look else f" {kind}"
    return (
        f"{conductor.function}{called}{detail} from {spoken_terminal(wiring, conductor.start)}"
        f" to {spoken_terminal(wiring, conductor.end)}"
    )


def named_conductor(wiring: Wiring, conductor: Conductor, rules: str = "") -> str:
    """The words of a conductor's label, and its ends: the title of its strokes. A piece of a bar is
    only told as such.
    """
    if conductor.kind == "bar":
        return f"{conductor.function} bar"
    ends = [
        spoken_terminal(wiring, end).replace(" bar terminal ", " bar ")
        for end in (conductor.start, conductor.end)
    ]
    return f"{' '.join(label_words(conductor, rules))}: {ends[0]} to {ends[1]}"


def spoken_part(completed: Completed, name: str) -> str:
    part = completed.case.wiring.drawn.part(name)
    if part is None:
        return name
    facts = (
        [
            *device_facts(completed.installation, part)[1:],
            *opens_words(completed.installation, part),
        ]
        if part.kind != "blank"
        else []
    )
    if part.kind in (
        "origin",
        "main-earthing-terminal",
        "charging-point",
        "electrode",
        "neutral-bar",
        "earth-bar",
        "line-bar",
    ):
        facts = []
    words = LONG_KIND.get(part.kind, part.kind)
    if part.kind in ("neutral-bar", "earth-bar"):
        words = name = bar_called(completed.case.wiring.drawn, name)
    if completed.installation.rules == "nec" and part.kind not in NEC_WORDS:
        words = in_nec_words(words)
    if completed.installation.rules == "nec" and part.kind == "origin":
        return words
    if completed.installation.rules == "nec" and part.kind in NEC_WORDS:
        return (
            NEC_WORDS[part.kind] if part.kind != "electrode" else f"{name}, {NEC_WORDS[part.kind]}"
        )
    head = (
        words
        if name.replace("-", " ") == words or part.kind == "main-earthing-terminal"
        else f"{name}, {words}"
    )
    return ", ".join([head, *facts])


def joint_words(completed: Completed) -> list[str]:
    """A sentence for every conductor with both its ends, and for what is joined to nothing."""
    wiring = completed.case.wiring.drawn
    told = [
        f"{spoken_conductor(wiring, each, among_others=True)}."
        for each in wiring.conductors
        if each.kind != "bar"
    ]
    unjoined = [t for t in wiring.terminals if not wiring.conductors_at(t.id)]
    told += [f"{spoken_terminal(wiring, t.id)} is joined to nothing." for t in unjoined]
    nec = completed.installation.rules == "nec"
    return [in_nec_words(each) for each in told] if nec else told


def wiring_words(completed: Completed, tells_joints: bool = True) -> str:
    """The alternative text: the devices in order, then what is joined, then the caution."""
    installation, wiring = completed.installation, completed.case.wiring.drawn
    rail = sorted(
        (p for p in wiring.parts if p.modules or p.kind == "main-switch"),
        key=lambda part: part.order,
    )
    enclosure = installation.board.enclosure
    end = enclosure.main_switch_end if is_known(enclosure) else "one"
    sentences = [
        f"Wiring of the board of {installation.title}.",
        f"On the rail, from the {end} end: "
        + "; ".join(spoken_part(completed, p.name) for p in rail)
        + ".",
    ]
    if (
        is_known(enclosure)
        and is_known(enclosure.feed_enters)
        and is_known(enclosure.circuits_leave)
    ):
        sentences.append(
            f"The feed enters at the {enclosure.feed_enters}, circuits leave at the"
            f" {enclosure.circuits_leave}."
        )
    lines = dict.fromkeys(
        t.function
        for t in wiring.terminals
        if (p := wiring.part(t.device)) and p.kind == "line-bar"
    )
    for line in lines:
        fed = [t for t in wiring.terminals if t.device == "bar" and t.function == line]
        sentences.append(
            f"Line bar {line} joins "
            + ", ".join(
                spoken_terminal(
                    wiring,
                    next((n for n in wiring.neighbours(t.id) if not n.startswith("bar.")), t.id),
                )
                for t in fed
            )
            + "."
        )
    through = through_words(installation)
    if through:
        sentences.append(
            f"The feed runs through {', then '.join(through)} before it reaches the board."
        )
    earth = earth_words(completed)
    sentences += [f"{earth[0].upper()}{earth[1:]}."] if earth else []
    sentences += joint_words(completed) if tells_joints else []
    sentences.append(caution_line(installation.edition))
    text = " ".join(sentence[0].upper() + sentence[1:] for sentence in sentences)
    return in_nec_words(text) if installation.rules == "nec" else text
