"""Workings: what sources beside the network add at the board: current in use, and into a fault."""

from firstway.calculations import faults, load
from firstway.model.evidence import each
from firstway.model.installation import Installation, OtherSource
from firstway.model.values import is_known
from firstway.workings.shared.book import Book, topic
from firstway.workings.shared.step import Step


def on_the_board(job: Installation) -> tuple[OtherSource, ...]:
    """Those whose current enters the new board: at its bars, a way or a point; one that does not
    say where it feeds in may.
    """
    ways = (way.name for way in job.board.ways)
    inside = ("board", *ways, *(point.name for point in job.charging_points))
    return tuple(
        source
        for source in job.sources
        if not is_known(source.joined_at) or source.joined_at in inside
    )


@topic
def sources_at_the_board(book: Book) -> None:
    """Nothing where the file names no source."""
    sources = book.installation.sources
    if not sources:
        return
    given: dict[str, Step] = {}
    for source in each(sources):
        given[source.name] = _current(book, source)
    _in_use(book, given)
    for board in book.installation.existing_boards:
        _in_use_of_old_board(book, board.name, given)
    _into_a_fault(book)


@topic
def _current(book: Book, source: OtherSource) -> Step:
    """By power: on one line to neutral, or on three lines."""
    of, supply = source.name, book.installation.supply
    title = f"Current that {of} feeds in at most, on each of its lines"
    power = book.fact(
        "power",
        of,
        f"Power of {of}",
        "P",
        source.power_kw,
        "kW",
        ask=f"the rated output of {of}; ask the maker of {of}",
    )
    if is_known(source.lines) and len(source.lines) == 3:
        volts = supply.line_to_line_v
        voltage = book.fact("line-voltage", of, "Voltage between lines", "U", volts, "V", places=0)
        law, names = load.DESIGN_CURRENT_THREE_PHASE, {"P": power, "U": voltage}
    else:
        # Lines not told: all of it may be on one.
        voltage = book.fact(
            "voltage-to-earth", of, "Voltage to earth", "U_0", supply.line_to_earth_v, "V", places=0
        )
        law, names = load.DESIGN_CURRENT_ONE_PHASE, {"P": power, "U_0": voltage}
    return book.formula("current-fed-in", of, title, law, names, symbol="I_g")


@topic
def _in_use(book: Book, given: dict[str, Step]) -> None:
    """What the bars of the new board may be given: by the device ahead, and by each source."""
    inside = on_the_board(book.installation)
    if not inside:
        return
    fed = book.total(
        "current-of-sources",
        "board",
        "What other sources feed into the board together, on one line",
        "I_g",
        [given[source.name] for source in inside],
        "A",
        "sum: all at their most, on one line",
        places=1,
    )
    book.formula(
        "current-with-sources",
        "board",
        "Current that the board may be given from all sides",
        load.WITH_OTHER_SOURCES,
        {"I_n": book.read("device-rating", "feed"), "I_g": fed},
        places=1,
    )


@topic
def _in_use_of_old_board(book: Book, board: str, given: dict[str, Step]) -> None:
    """What a board that was there before may be given: a device between it and the service may let
    in less, but none lets in more.
    """
    joined = [source.name for source in book.installation.sources if source.joined_at == board]
    if not joined:
        return
    fed = book.total(
        "current-of-sources",
        board,
        f"What other sources feed into {board} together, on one line",
        "I_g",
        [given[name] for name in joined],
        "A",
        "sum: all at their most, on one line",
        places=1,
    )
    book.formula(
        "current-with-sources",
        board,
        f"Current that {board} may be given from all sides, at most",
        load.WITH_OTHER_SOURCES,
        {"I_n": book.read("service-rating", "supply"), "I_g": fed},
        places=1,
        note="counted with the service device: one between it and the board may let in less",
    )


@topic
def _into_a_fault(book: Book) -> None:
    """An upper bound: magnitudes added, wherever a source stands."""
    facts = [
        book.fact(
            "source-fault-current",
            source.name,
            f"Largest current that {source.name} gives into a fault",
            "I_s",
            source.fault_current_a,
            "A",
            ask=f"what {source.name} gives into a short circuit; ask the maker of {source.name}",
            places=0,
        )
        for source in book.installation.sources
    ]
    together = book.total(
        "fault-current-of-sources",
        "board",
        "What other sources give into a fault together",
        "I_s",
        facts,
        "A",
        "sum: no cable between them is counted",
        places=0,
    )
    network = book.read("fault-current-at-board", "board")
    found = book.formula(
        "fault-current-with-sources",
        "board",
        "Largest fault current at the board with every source, at most",
        faults.WITH_OTHER_SOURCES_KA,
        {"I_k": network, "I_s": together},
        places=3,
        note="an upper bound: the currents are added as if they swung together",
    )
    if found.value is not None and network.value is not None and network.high is not None:
        book.amend(found, low=found.value, high=found.value + network.high - network.value)
