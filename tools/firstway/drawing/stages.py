"""Drawing: the stages of fitting a board, from the wiring and the file: what is new in each, why,
and what must be dead first.

The order is common practice: earth before anything live, the end that could make the work live last
of all. Pure: `stages_of` gives values; the wiring diagram writes each stage as a class, pages show
the words.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from firstway.choosing.completing import Completed
from firstway.model.installation import Installation
from firstway.model.nec_words import with_nec_words
from firstway.model.values import is_known
from firstway.wiring.graph import Conductor, Part, Wiring

SKILLED = "skilled person"
AUTHORISED_STAGE = "authorised person only"


@dataclass(frozen=True)
class Stage:
    """One stage. `parts` and `conductors` are those new in it, in the order they are put in.

    `shows` are other names of the drawing that belong to it (the enclosure, the rail). `isolation`
    says what must be isolated and proved dead before it; `by` who may do it.
    """

    id: str
    title: str
    reason: str
    isolation: str
    by: str = SKILLED
    parts: tuple[str, ...] = ()
    conductors: tuple[str, ...] = ()
    shows: tuple[str, ...] = ()
    points: tuple[str, ...] = ()


_NOT_JOINED = (
    "Nothing of the new board is joined to a supply yet. Prove that too: with an approved voltage"
    " indicator, proved before and after on a known source."
)
_EARTH_WORK = (
    "Isolate the existing installation, lock it off and prove it dead before the main earthing"
    " terminal is opened: an earthing or bonding conductor taken off a live installation can bear"
    " its full voltage. Put a clamp meter round it first: bonding may carry the neighbours' current"
    " while this installation is off. If any flows, leave it joined and call the network operator."
)
_BEFORE = Stage(
    "before",
    "Before the work begins",
    "What stands already is what the new work is joined to. Inspect it, record its readings, and"
    " agree with the person responsible when it may be off.",
    "Plan now where the supply will be isolated, who locks it off, and who holds the key.",
    "the designer and the person responsible",
    points=(
        (
            "Compare the means of earthing and the bonding found with those in the file: what is"
            " missing or too thin is put right first."
        ),
        "Name every source that can feed back: panels, a battery, a generator, a vehicle.",
        (
            "Before a rod is driven or a trench is dug: plans of what lies there, a detector in"
            " trained hands, a trial hole dug by hand."
        ),
        "Nothing is taken apart in this stage.",
    ),
)
_FIXED = (
    Stage(
        "enclosure",
        "Enclosure and entries",
        "Every opening is made while the enclosure is empty: chips of metal inside a fitted board"
        " are bridges waiting to happen.",
        _NOT_JOINED,
        shows=("enclosure",),
        points=(
            "Fix it level, with room for the radii of bent cables.",
            (
                "In a steel enclosure all conductors of one circuit, protective conductor too,"
                " pass through one opening."
            ),
            "Bush or gland each entry; close every one that stays unused.",
            (
                "Seal what was drilled through a wall or floor that keeps"
                " fire back, as the seal's maker tested it."
            ),
            "Clear away all chips before anything is fitted.",
        ),
    ),
    Stage(
        "rail",
        "Rail and neutral bar",
        "The rail decides where every device stands; a skew rail strains the bar's teeth in their"
        " terminals.",
        _NOT_JOINED,
        shows=("rail",),
        points=(
            "Check that the rail is firm and level.",
            "The neutral bar stands insulated from the enclosure.",
        ),
    ),
    Stage(
        "earth",
        "Earth bar and main protective conductor",
        "Earth goes in first and would come out last: from now on every metal part that a mistake"
        " could make live is joined to earth.",
        _EARTH_WORK,
        points=(
            "Join the enclosure, if it is metal, to the earth bar.",
            "Do not open any other earthing or bonding conductor to make room.",
        ),
    ),
    Stage(
        "main-switch",
        "Main switch",
        "Everything else is set out from the main switch. Its supply terminals are those that stay"
        " live when it is off.",
        _NOT_JOINED,
        points=("Set it to off.", "Mark its supply terminals: live when off."),
    ),
    Stage(
        "bar",
        "Line bar",
        "One piece of metal feeds every way, so no conductor is looped from device to device and"
        " each joint can be looked at.",
        _NOT_JOINED,
        points=(
            "Use the maker's bar for these devices, cut to length, its ends covered.",
            "Where the maker wants the bar before the devices, follow the maker.",
            "Open every clamp fully; each tooth goes inside its clamp, not behind it.",
            "Cover each tooth that serves no device.",
        ),
    ),
    Stage(
        "devices",
        "Devices",
        "Outward from the main switch in the order of the file: the surge protective device first,"
        " where its path is shortest.",
        _NOT_JOINED,
        points=(
            "Switch each device off as it goes on.",
            "Each is one that the maker of the assembly declares for it.",
        ),
    ),
    Stage(
        "surge-leads",
        "Leads of the surge protective device",
        "Each metre of lead adds about 1 kV to what the device lets through (rule of thumb)."
        " Straight, short, side by side.",
        _NOT_JOINED,
        points=(
            "Earth first, then neutral, then line.",
            "No loop and no spare length.",
            "Compare the length fitted with the working.",
        ),
    ),
    Stage(
        "neutrals",
        "Neutrals",
        "Each residual current device watches line and neutral together: a neutral on the wrong"
        " side of it makes it trip, or blinds it.",
        _NOT_JOINED,
        points=(
            "The neutral of each way goes through its own device.",
            "Neutral and earth stay apart everywhere in this board.",
        ),
    ),
    Stage(
        "outgoing",
        "Outgoing circuit",
        "The protective conductor is joined first at both ends, then neutral, then line: at no"
        " moment is there a live core without its earth.",
        _NOT_JOINED,
        points=(
            "Identify every core before it is cut.",
            (
                "Earth the armour where the file says, and nowhere else: gland for its place, earth"
                " tag bolted to metal or to a conductor, shroud slipped on first."
            ),
            "Set the point where a hand in a wheelchair reaches socket, lead and display.",
            (
                "Over a way out, metal fixings hold the cable: plastic clips let it fall early in a"
                " fire."
            ),
            "A vehicle stays unplugged until the live tests are done.",
        ),
    ),
    Stage(
        "torque",
        "Torque and a last look",
        "A loose terminal heats, an overtightened one breaks strands; both are found only later,"
        " hot.",
        _NOT_JOINED,
        points=(
            "Tighten every terminal with a calibrated driver to the maker's figure and record it.",
            "Pull each conductor gently. No insulation under a clamp, no bare copper outside it.",
        ),
    ),
    Stage(
        "dead-tests",
        "Dead tests",
        "Faults are found while they cannot hurt anyone: continuity, insulation, polarity.",
        _NOT_JOINED,
        points=(
            (
                "Take out or disconnect the surge protective device and the point's electronics"
                " before the insulation test, as their makers say; put them back and record it."
            ),
            "Compare each reading with the expected one.",
        ),
    ),
    Stage(
        "labels",
        "Blanks and labels",
        "No finger reaches what is behind a spare way, and the next person knows this board only by"
        " its labels.",
        _NOT_JOINED,
        points=(
            "Blank covers close every spare way.",
            "Name each way and what it feeds.",
            "Say at the main switch what stays live when it is off.",
            "Put up the notices the rules ask for, and the chart of the board.",
        ),
    ),
    Stage(
        "tails",
        "Tails at the board",
        "The tails come in last of all conductors: with them in place only one joint is left"
        " between the board and a supply.",
        "The far ends of the tails are free, capped and in sight. Prove the tails dead at this end"
        " too.",
        points=(
            "The main switch is off.",
            "Neutral first, then lines.",
            "The tails keep to the supply terminals, away from everything outgoing.",
            "Close the cover of the board before the supply end is made.",
        ),
    ),
)
# Common practice where rule set nec holds: a panel fed by breaker, its grounding conductor in the
# feeder.
_NEC: dict[str, dict[str, Any]] = {
    "before": {
        "points": (
            "See where neutral and ground are joined: once, at the service. Compare with the file.",
            "Name every source that can feed back: panels, a battery, a generator, a vehicle.",
            "Before anything is dug or driven, have the buried services marked by their owners.",
            "Nothing is taken apart in this stage.",
        )
    },
    "enclosure": {
        "points": (
            "Fix it level, with room for the radii of bent wires.",
            (
                "All conductors of one circuit, its grounding conductor too, pass through one"
                " opening or one raceway."
            ),
            "Bush or clamp each entry; close every one that stays unused.",
            "Clear away all chips before anything is fitted.",
        )
    },
    "rail": {
        "title": "Bus and neutral bar",
        "reason": (
            "The neutral bar of a panel fed from another stands insulated from the enclosure:"
            " neutral and ground are joined once, at the service."
        ),
        "points": (
            "Leave the bonding screw or strap of the neutral out, and keep it out.",
            "Check that the bus is clean and firm.",
        ),
    },
    "earth": {
        "title": "Grounding bar",
        "reason": (
            "The ground bar is screwed to the metal of the enclosure: so the enclosure is"
            " grounded with everything on the bar."
        ),
        "isolation": _NOT_JOINED,
        "points": (
            "Use the bar and the screws the maker lists for this panel.",
            "No paint stays under the bar.",
        ),
    },
    "bar": {"points": ("The lugs stand ready for the feeder. Nothing is joined to them yet.",)},
    "devices": {
        "reason": (
            "From the end of the lugs in the order of the file: the surge protective device first,"
            " where its path is shortest."
        ),
        "points": (
            "Switch each breaker off as it goes on.",
            "Each breaker is one the panel's label lists.",
        ),
    },
    "surge-leads": {
        "points": (
            "Ground first, then neutral, then lines.",
            "No loop and no spare length.",
            "Compare the length fitted with the working.",
        )
    },
    "neutrals": {
        "reason": (
            "The neutral bar serves what needs a neutral in this panel, and nothing of the ground."
        ),
        "points": ("Neutral and ground stay apart everywhere in this panel.",),
    },
    "outgoing": {
        "reason": (
            "The equipment grounding conductor is joined first at both ends, then the lines: at no"
            " moment is there a live wire without its ground."
        ),
        "points": (
            "Identify every wire before it is cut.",
            "A vehicle stays unplugged until the live tests are done.",
        ),
    },
    "torque": {
        "points": (
            "Tighten every terminal with a calibrated tool to the marked figure and record it.",
            "Pull each wire gently. No insulation under a clamp, no bare copper outside it.",
        )
    },
    "labels": {
        "points": (
            "Filler plates close every spare space.",
            "Fill in the circuit directory.",
            "Say on the panel where it is fed from and where that is switched off.",
            "Put up the labels the adopted edition and the authority ask for.",
        )
    },
    "tails": {
        "title": "Feeder at the panel",
        "reason": (
            "The feeder comes in last of all conductors, its grounding conductor with it: then only"
            " one joint is left between the panel and a supply."
        ),
        "isolation": (
            "The far ends of the feeder are free, capped and in sight. Prove its wires dead at this"
            " end too."
        ),
        "points": (
            (
                "The equipment grounding conductor to the ground bar first, then the neutral to"
                " the neutral bar, then the lines to the lugs."
            ),
            "Neutral and ground go to their own bars: they are not joined here.",
            "Close the cover of the panel before the supply end is made.",
        ),
    },
    "supply-end": {
        "title": "Supply end of the feeder",
        "points": ("Cover on, every breaker of this panel off, before the supply returns.",),
    },
    "live-tests": {
        "reason": "Only with the supply on can the voltages and the function of the point be seen.",
        "points": (
            "Voltage between the lines, from each line to neutral and to ground.",
            "The breaker off: no voltage at the point. That does not prove isolation.",
            (
                "Function last: the point's start, stop and test, by its maker's procedure, then a"
                " vehicle."
            ),
        ),
    },
}
_LIVE = Stage(
    "live-tests",
    "Live tests",
    "Only with the supply on can the loop, the polarity of the supply and the times of the residual"
    " current device be measured.",
    "The board is live. Test with its covers on wherever the instrument allows; nobody works"
    " alone.",
    "persons skilled in live testing",
    points=(
        (
            "In the order of the list of tests: the supply and its polarity first, then the loop at"
            " the point, then every residual current device."
        ),
        "A reading beyond its limit: isolate, find out why.",
        (
            "Function last: main switch, pilot states and their faults, lock, open-PEN device and"
            " limiter by their makers' methods, then a vehicle."
        ),
    ),
)
_SUPPLY_END = {
    "connector-block": (
        "The distributor or the owner of the meter isolates the supply; only an authorised person"
        " works between the service and the isolator, or on the connector block before it is proved"
        " dead. The service, its fuse and the meter are left alone."
    ),
    "existing-board-way": (
        "The existing board is isolated, locked off and proved dead. Its own incoming terminals"
        " stay live: they remain covered and nobody works near them but an authorised person."
    ),
    "new-service": (
        "The network operator or utility makes and energises the service. Nobody else works there."
    ),
}
_SUPPLY_REASON = (
    "Last, because it makes everything before it live. It follows the dead tests, never the other"
    " way round. This guide does not teach this step."
)


def stages_of(completed: Completed) -> tuple[Stage, ...]:
    """The stages of the board in order; every part and conductor of the wiring is in
    exactly one.
    """
    wiring, installation = completed.case.wiring.drawn, completed.installation
    parts: dict[str, list[str]] = {}
    for part in sorted(wiring.parts, key=lambda part: part.order):
        parts.setdefault(_stage_of_part(part, installation), []).append(part.name)
    conductors: dict[str, list[Conductor]] = {}
    for conductor in wiring.conductors:
        conductors.setdefault(_stage_of_conductor(conductor, wiring, installation), []).append(
            conductor
        )
    stages: tuple[Stage, ...] = (_BEFORE, *_fixed(installation), _supply_end(installation), _LIVE)
    if installation.rules == "nec":
        stages = tuple(
            with_nec_words(
                replace(each, **_NEC.get(each.id, {})), "title", "reason", "isolation", "points"
            )
            for each in stages
        )
    needed = (stage for stage in stages if stage.id != "main-switch" or parts.get("main-switch"))
    return tuple(
        replace(
            stage,
            parts=tuple(parts.get(stage.id, ())),
            conductors=tuple(c.id for c in _ordered(conductors.get(stage.id, ()), wiring)),
        )
        for stage in needed
    )


def _fixed(installation: Installation) -> tuple[Stage, ...]:
    """A bar whose teeth are clamped goes in when the devices hang on the rail; a bus that devices
    are plugged on stands there first.
    """
    busbar = installation.board.busbar
    if not is_known(busbar) or busbar.style not in ("pin", "fork"):
        return _FIXED
    ids = [stage.id for stage in _FIXED]
    place = ids.index("bar")
    assert ids[place + 1] == "devices"
    return (*_FIXED[:place], _FIXED[place + 1], _FIXED[place], *_FIXED[place + 2 :])


def stage_classes(completed: Completed) -> Mapping[str, str]:
    """Name of a part, conductor or other shown thing -> the class that tells its stage, `s1` for
    the first.
    """
    return {
        name: f"s{place}"
        for place, stage in enumerate(stages_of(completed), 1)
        for name in (*stage.parts, *stage.conductors, *stage.shows)
    }


def _supply_end(installation: Installation) -> Stage:
    origin = (
        str(installation.feed.from_)
        if is_known(installation.feed) and is_known(installation.feed.from_)
        else "connector-block"
    )
    return Stage(
        "supply-end",
        "Supply end of the tails",
        _SUPPLY_REASON,
        _SUPPLY_END.get(origin, _SUPPLY_END["connector-block"]),
        AUTHORISED_STAGE,
        points=("Cover on, main switch off, before the supply returns.",),
    )


def _stage_of_part(part: Part, installation: Installation) -> str:
    if part.kind == "electrode":
        item = installation.electrode(part.name)
        return (
            "outgoing"
            if item is not None and item.use in ("charging-point", "measuring")
            else "before"
        )
    return {
        "main-earthing-terminal": "before",
        "origin": "supply-end",
        "main-switch": "main-switch",
        "line-bar": "bar",
        "neutral-bar": "rail",
        "earth-bar": "earth",
        "charging-point": "outgoing",
        "blank": "labels",
    }.get(part.kind, "devices")


def _stage_of_conductor(conductor: Conductor, wiring: Wiring, installation: Installation) -> str:
    ends = [
        wiring.part(terminal.device)
        for end in (conductor.start, conductor.end)
        if (terminal := wiring.terminal(end))
    ]
    kinds = {part.kind for part in ends if part}
    electrode = next((part for part in ends if part and part.kind == "electrode"), None)
    protective = conductor.function in ("PE", "PEN")
    if electrode is not None:
        return _stage_of_part(electrode, installation)
    if kinds == {"origin", "main-earthing-terminal"}:
        return "before"
    if "charging-point" in kinds or (conductor.cable and conductor.cable != "feed"):
        return "outgoing"
    if conductor.cable == "feed" or "origin" in kinds:
        return (
            "earth" if protective and installation.rules != "nec" else "tails"
        )  # a feeder's grounding conductor comes in with the feeder
    if conductor.kind == "bar" and kinds != {"spd"}:
        return {"neutral-bar": "rail", "earth-bar": "earth"}.get(
            next(iter(kinds)) if len(kinds) == 1 else "", "bar"
        )
    if "spd" in kinds:
        return "surge-leads"
    return "earth" if protective else ("neutrals" if conductor.function == "N" else "devices")


def _ordered(
    conductors: list[Conductor] | tuple[Conductor, ...], wiring: Wiring
) -> list[Conductor]:
    """Circuit by circuit, earth before neutral before line."""
    circuits = list(dict.fromkeys(conductor.cable for conductor in conductors))
    rank = {"PE": 0, "PEN": 0, "N": 1}
    return sorted(conductors, key=lambda c: (circuits.index(c.cable), rank.get(c.function, 2)))
