"""Board front: what the labels of a board must say, in our own words, each with its reason.

Labels that the plan finds a place for on the cover are `labels_of_cover`; what stands on it where
room is left, or else beside the board, is `further_labels`; what belongs elsewhere `labels_beside`.
"""

from collections.abc import Iterator

from firstway.drawing.front.scene import SeenFront
from firstway.drawing.front.words import front_label_words, live_words
from firstway.drawing.old_meets_new import existing_in_earlier_colours
from firstway.frozen import dataclass
from firstway.layout.plan import FittingKind
from firstway.model.installation import OtherSource
from firstway.model.values import NONE, UNKNOWN, Absent, is_known
from firstway.rendering.figures import figure_in_formula
from firstway.tables.clauses import BOOKS, clause_standing
from firstway.tables.reading import Gap, rule_limit
from firstway.wiring.graph import Part

BLANK_LINE = "........"  # to be filled in by hand
CONFIRM_CLAUSES = "Confirm each clause in the current book."


@dataclass(frozen=True)
class CoverLabel:
    """A label: its kind in the plan ("" where the plan has none), what it is, what it says, why it
    is there, and shorter forms of what it says for a small label.
    """

    id: FittingKind | str
    title: str
    words: str
    why: str
    shorter: tuple[str, ...] = ()
    warns: bool = False


_Told = tuple[str, str, str, str, tuple[str, ...]]


def labels_of_cover(front: SeenFront) -> tuple[CoverLabel, ...]:
    """The warning label and the notices."""
    told = [_warning(front)]
    if front.installation.rules == "nec":
        told += [_directory(front), _fed_from(front)]
    else:
        told += [*_test_button(front), _inspected(front)]
    return tuple(
        CoverLabel(id_, title, words, why, shorter, id_ == "warning-label")
        for id_, title, words, why, shorter in told
    )


def further_labels(front: SeenFront) -> tuple[CoverLabel, ...]:
    """What whoever opens the board must be told before, the gravest first; a label of the cover
    where it has room.
    """
    told = [
        *(("isolation-label", *each) for each in _isolation(front)),
        *(("sources-label", *each) for each in _sources(front)),
        *(("colours-label", *each) for each in _colours(front)),
        *(("surge-label", *each) for each in _surge(front)),
    ]
    return tuple(CoverLabel(id_, title, words, why, _cut(words)) for id_, title, words, why in told)


def _cut(words: str) -> tuple[str, ...]:
    """The first sentence alone, for a small label."""
    first, stop, _ = words.partition(". ")
    return (f"{first}.",) if stop else ()


def labels_beside(front: SeenFront) -> tuple[CoverLabel, ...]:
    """What is to be told at another place than the board."""
    told = [
        *_unknown_sources(front),
        *_where_sources_are_isolated(front),
        *_limiter(front),
        *_shared(front),
        *_own_earth(front),
    ]
    if front.installation.rules != "nec":
        told.append(_chart(front))
    return tuple(CoverLabel("", title, words, why) for title, words, why in told)


def labels_of_sources(front: SeenFront) -> tuple[CoverLabel, ...]:
    """What is to be told of other sources, wherever one of them or the network is isolated; they
    are wanted of what is there today, also while the papers of the new board are a draft.
    """
    told = _where_sources_are_isolated(front)
    return tuple(CoverLabel("", title, words, why) for title, words, why in told)


def _why(front: SeenFront, reason: str, **clauses: str) -> str:
    """A reason with the clause it comes from in this rule set, or that it is common practice."""
    rules = front.installation.rules
    clause = clauses.get(rules, "")
    if not clause:
        return f"{reason} (common practice)"
    standing = clause_standing(rules, clause)
    said = "" if standing == "found" else ", from memory"
    return f"{reason} ({BOOKS[rules]} {clause}{said})"


def _warning(front: SeenFront) -> _Told:
    supply = front.installation.supply
    between = supply.line_to_line_v
    volts = between if is_known(between) else supply.line_to_earth_v
    live = f"Live parts inside{f', {figure_in_formula(float(volts))} V' if is_known(volts) else ''}"
    return (
        "warning-label",
        "Warning",
        f"{live}. Isolate and prove dead before this cover comes off. Skilled persons only.",
        _why(
            front,
            "Nobody takes the cover off without knowing what is behind it",
            bs7671="514.11",
        ),
        (f"{live}. Skilled persons only.", live, "Live parts inside"),
    )


def _test_button(front: SeenFront) -> Iterator[_Told]:
    """The notice at residual current devices; none where the board has none."""
    watched = [part.name for part, _ in front.devices if part.kind in ("rcbo", "rcd")]
    if not watched:
        return
    names = " and ".join(watched)
    months = rule_limit(front.installation.rules, "rcd-button-months")
    often = (
        "as often as its maker says"
        if isinstance(months, Gap)
        else f"every {figure_in_formula(months.value)} months"
    )
    yield (
        "test-notice",
        "Notice at the residual current device",
        f"Press T on {names} {often}: it must switch off. If it does not, switch it off and have it"
        " looked at.",
        _why(front, "The user alone presses it between inspections", bs7671="514.12.2"),
        (
            f"Press T on {names} {often}: it must switch off.",
            f"Press T on {names} {often}.",
            f"{names}: press T",
        ),
    )


def _inspected(front: SeenFront) -> _Told:
    return (
        "inspection-label",
        "Notice of inspection",
        f"Inspected and tested on {BLANK_LINE} Next by {BLANK_LINE}",
        _why(
            front,
            "Dates as the certificate has them; the designer gives the interval",
            bs7671="514.12.1",
        ),
        (f"Inspected {BLANK_LINE} Next by {BLANK_LINE}", "Inspected / next by"),
    )


def _directory(front: SeenFront) -> _Told:
    """Each way with its use, for a name such as garage says a place alone."""
    parts = [part for part, _ in front.devices if part.kind != "blank"]
    ways = [f"{part.name} {_use(front, part)}" for part in parts]
    short = [f"{part.name} {front_label_words(front.installation, part)}" for part in parts]
    return (
        "test-notice",
        "Circuit directory",
        f"{'; '.join(ways)}; the others spare.",
        _why(front, "Each circuit is told apart from every other by its use", nec="408.4(A)"),
        (
            "; ".join(ways),
            f"{'; '.join(short)}; the others spare.",
            "; ".join(short),
            "Circuit directory",
        ),
    )


def _use(front: SeenFront, part: Part) -> str:
    """What a way of the directory is for: the points that its circuit charges at, and where."""
    installation = front.installation
    said = front_label_words(installation, part)
    fed = [circuit for circuit in installation.circuits if circuit.name == said]
    points = [point.name for circuit in fed for point in installation.points_of(circuit)]
    return f"vehicle charging, {said}: {' and '.join(points)}" if points else said


def _fed_from(front: SeenFront) -> _Told:
    return (
        "inspection-label",
        "Source of the supply",
        f"Panel for vehicle charging. {_origin(front)}",
        _why(front, "The panel says which device switches it off, and where", nec="408.4(B)"),
        (_origin(front),),
    )


def _origin(front: SeenFront) -> str:
    feed = front.installation.feed
    origin = str(feed.from_) if not isinstance(feed, Absent) and is_known(feed.from_) else ""
    boards = [board.name for board in front.installation.existing_boards]
    if origin == "existing-board-way" and boards:
        return f"Fed from {boards[0]}; switched off there."
    if origin == "connector-block":
        return "Fed from the connector block beside the meter."
    if origin == "new-service":
        return "Fed by its own service."
    return f"Fed from: {BLANK_LINE}"


_Beside = tuple[str, str, str]


def _isolation(front: SeenFront) -> Iterator[_Beside]:
    words = " ".join(live_words(front.installation))
    if words:
        main = "the lugs" if front.installation.board.main_switch == NONE else "the main switch"
        yield (
            f"At {main}",
            f"{words} {_origin(front)}",
            _why(front, "Off is not dead on the incoming side", bs7671="514.11"),
        )


def _surge(front: SeenFront) -> Iterator[_Beside]:
    names = [part.name for part, _ in front.devices if part.kind == "spd"]
    if names:
        yield (
            "Surge protection",
            f"{' and '.join(names)}: when the window shows the end of its life, have it replaced."
            " Disconnect it before an insulation test.",
            _why(front, "It wears out in silence"),
        )


_ONE_OF_TWO = "Switched off at one place it may still be live"


def _sources(front: SeenFront) -> Iterator[_Beside]:
    """Where a vehicle, or something else, can feed back."""
    job = front.installation
    named = {str(source.joined_at) for source in job.sources}
    points = [point for point in job.charging_points if point.bidirectional is True]
    unnamed = [str(point.name) for point in points if point.name not in named]
    feeding = [
        *(str(source.name) for source in job.sources),
        *([f"a vehicle at {' or '.join(unnamed)}"] if unnamed else []),
    ]
    if feeding:
        words = " or ".join(feeding)
        yield (
            "More than one source",
            f"Beside the network {words} can feed here: isolate there too."
            if job.sources
            else f"{words[0].upper()}{words[1:]} can feed this board: isolate there too.",
            _why(front, _ONE_OF_TWO, bs7671="514.15"),
        )


def _where_sources_are_isolated(front: SeenFront) -> Iterator[_Beside]:
    """Labels of every source named: where somebody would isolate the network, and at each place
    where the source itself is isolated.
    """
    sources = front.installation.sources
    if not sources:
        return
    names = " and ".join(str(source.name) for source in sources)
    boards = {str(board.name) for board in front.installation.existing_boards}
    fed = [at for at in dict.fromkeys(str(each.joined_at) for each in sources) if at in boards]
    *first, last = ["the origin", "the meter", *fed]
    yield (
        f"At {', '.join(first)} and {last}",
        f"Beside the network {names} {'feeds' if len(sources) == 1 else 'feed'} these premises:"
        " isolate each before work.",
        _why(front, _ONE_OF_TWO, bs7671="514.15"),
    )
    for source in sources:
        yield _at_isolator(front, source)
        if source.kind == "photovoltaic":
            yield (
                f"On the d.c. side of {source.name}",
                "Live in daylight whatever is open: it cannot be proved dead. Switch the a.c. side"
                " off before this isolator is opened.",
                _why(front, "Direct current draws an arc that does not end by itself"),
            )


def _at_isolator(front: SeenFront, source: OtherSource) -> _Beside:
    if source.isolator is not True:
        return (
            f"Isolator of {source.name}?",
            f"Where {source.name} is isolated is not stated: look, and have one fitted where none"
            " is, before it is labelled.",
            _why(front, _ONE_OF_TWO, bs7671="514.15"),
        )
    car = "Unplug the vehicle, open and lock this" if source.kind == "vehicle" else "Open and lock"
    return (
        f"At the isolator of {source.name}",
        f"Isolator of {source.name}. {car}, and isolate the network too: either feeds without the"
        " other.",
        _why(front, _ONE_OF_TWO, bs7671="514.15"),
    )


def _unknown_sources(front: SeenFront) -> Iterator[_Beside]:
    job = front.installation
    points = job.charging_points
    unknown = [point.name for point in points if not is_known(point.bidirectional)]
    if unknown and not any(point.bidirectional is True for point in points):
        yield (
            "More than one source?",
            f"Whether a vehicle at {' or '.join(unknown)} can feed back is not known: ask the maker"
            " before the board is labelled.",
            _why(front, _ONE_OF_TWO, bs7671="514.15"),
        )
    if job.other_sources == UNKNOWN:
        yield (
            "Another source?",
            "Whether an inverter, a battery or a generator feeds these premises is not stated: look"
            " before the board is labelled.",
            _why(front, _ONE_OF_TWO, bs7671="514.15"),
        )


def _limiter(front: SeenFront) -> Iterator[_Beside]:
    limiter = front.installation.load_limiter
    if isinstance(limiter, Absent):
        return
    limit = (
        f"{figure_in_formula(float(limiter.limit_a))} A"
        if is_known(limiter.limit_a)
        else f"{BLANK_LINE} A"
    )
    yield (
        "At the limiter",
        f"The load is held within {limit}: leave setting and sensor as they are.",
        _why(front, "The supply counts on it"),
    )


def _shared(front: SeenFront) -> Iterator[_Beside]:
    shared = front.installation.shared_limit
    if isinstance(shared, Absent):
        return
    limit = (
        f"{figure_in_formula(float(shared.limit_a))} A"
        if is_known(shared.limit_a)
        else f"{BLANK_LINE} A"
    )
    yield (
        "At each of the points",
        f"{' and '.join(shared.points)} keep within {limit} on each line together: leave setting"
        " and link as they are.",
        _why(front, "Cable and devices are chosen for it", bs7671="722.311.201"),
    )


def _own_earth(front: SeenFront) -> Iterator[_Beside]:
    if front.installation.supply.system == "TT":
        yield (
            "At the main earthing terminal",
            "This installation has its own earth electrode: do not join the supply's earth to it.",
            _why(front, "Two earths joined by chance carry what nobody reckoned with"),
        )


def _colours(front: SeenFront) -> Iterator[_Beside]:
    board = existing_in_earlier_colours(front.completed)
    if board is not None:
        yield (
            "Two colours of conductors",
            f"{board.name} has earlier colours, this board today's: identify each conductor before"
            " work.",
            "Required by BS 7671 before 2022 (514.14.1, from memory)",
        )


def _chart(front: SeenFront) -> _Beside:
    return (
        "Chart beside the board",
        "Each way with its device, cable and what it feeds; how to isolate.",
        _why(front, "The next person works by it", bs7671="514.9.1"),
    )
