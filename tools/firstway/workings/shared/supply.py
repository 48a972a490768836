"""Workings: supply: what is drawn against what it can give, and what a broken PEN conductor would
do.
"""

from firstway.calculations import earthing
from firstway.calculations import load as formulas
from firstway.model.installation import LINES, Installation
from firstway.model.values import is_known, key_of
from firstway.tables import looking_up as tables
from firstway.workings.shared.book import Book, topic
from firstway.workings.shared.sharing import held_together
from firstway.workings.shared.step import Step


def supply_lines(installation: Installation) -> tuple[str, ...]:
    if installation.rules == "nec" and installation.supply.phases == 1:
        return LINES[:2]
    return LINES[: int(installation.supply.phases)]


@topic
def demand(book: Book) -> None:
    """Maximum demand on each line and the largest; what is left of the service; where a limiter
    must hold.
    """
    installation = book.installation
    lines = supply_lines(installation)
    points = {line: _points(book, line) for line in lines}
    each = [_demand_on(book, line, points[line]) for line in lines]
    title = "Maximum demand with the new points, on the line that carries most"
    largest = book.worst_of(each, "maximum-demand", "supply", title)
    rating = book.fact(
        "service-rating",
        "supply",
        "Rated current of the service device",
        "I_n",
        key_of(installation.supply.service_device, "rating_a"),
        "A",
        ask="ask the distributor for the rating of the service device",
        places=0,
    )
    book.formula(
        "spare-capacity",
        "supply",
        "What the service device has left",
        formulas.SPARE_CAPACITY,
        {"I_n": rating, "I_max": largest},
        places=1,
        note=(
            "less than nothing: a smaller setting, a limiter or a larger service"
            if _below_zero(rating, largest)
            else ""
        ),
    )
    existing = [book.read(f"existing-demand-{line}", "supply") for line in lines]
    worst = book.worst_of(
        existing,
        "existing-demand",
        "supply",
        "Demand of the existing installation, on its fullest line",
    )
    book.formula(
        "held-current",
        "supply",
        "Current to which a limiter would have to hold the new points when everything else runs",
        formulas.HELD_CURRENT,
        {"I_n": rating, "I_e": worst},
        places=1,
        note=(
            "the limiter measures ahead of the split of the tails, on every line, arrow to the load"
        ),
    )


def _below_zero(rating: Step, demand_step: Step) -> bool:
    return (
        rating.value is not None
        and demand_step.value is not None
        and rating.value < demand_step.value
    )


@topic
def _points(book: Book, line: str) -> Step:
    items, note = held_together(
        book.installation,
        {
            circuit.name: book.read("design-current", circuit.name)
            for circuit in book.installation.circuits
            if line in circuit.lines
        },
    )
    return book.total(
        f"points-on-{line}",
        "supply",
        f"New points on {line}, at their set currents",
        "I_p",
        items,
        "A",
        "sum of the set currents, no diversity",
        places=1,
        note=note,
    )


@topic
def _demand_on(book: Book, line: str, points: Step) -> Step:
    installation = book.installation
    existing = book.fact(
        f"existing-demand-{line}",
        "supply",
        f"Demand of the existing installation on {line}",
        "I_e",
        key_of(key_of(installation.existing_load, line), "maximum_demand_a"),
        "A",
        ask=f"measure the demand on {line} over a week, or work it out",
        places=1,
    )
    whole = book.formula(
        f"demand-without-limiter-{line}",
        "supply",
        f"Demand on {line} with the new points",
        formulas.MAXIMUM_DEMAND,
        {"I_e": existing, "I_p": points},
        places=1,
    )
    limit = limited_to(installation, line)
    title = f"Maximum demand on {line}"
    if (
        limit is not None
        and existing.value is not None
        and whole.value is not None
        and whole.value > limit < existing.value
    ):
        return book.repeat(
            existing,
            f"maximum-demand-{line}",
            "supply",
            title,
            note=(
                "a limiter holds the points back, never the house: the existing load alone is above"
                " its limit"
            ),
        )
    if limit is not None and whole.value is not None and whole.value > limit:
        return book.fact(
            f"maximum-demand-{line}",
            "supply",
            title,
            "I_max",
            limit,
            "A",
            places=1,
            note=f"a documented limiter holds {whole.value:g} A below this",
        )
    return book.repeat(whole, f"maximum-demand-{line}", "supply", title)


def limited_to(installation: Installation, line: str) -> float | None:
    """The figure a documented limiter that measures the whole installation holds a line to."""
    limiter = installation.load_limiter
    if (
        not is_known(limiter)
        or limiter.documented is not True
        or not is_known(limiter.limit_a)
        or not is_known(limiter.senses)
    ):
        return None
    senses = limiter.senses
    whole = (
        senses.place == "before-split"
        and senses.arrow == "to-load"
        and is_known(senses.lines)
        and line in senses.lines
    )
    return limiter.limit_a if whole else None


@topic
def broken_pen(book: Book) -> None:
    """MET to true earth with the PEN broken, and the electrode that would hold 70 V. TN-
    C-S only.
    """
    installation = book.installation
    if installation.supply.system != "TN-C-S":
        return
    voltage = book.fact(
        "voltage-to-earth",
        "supply",
        "Voltage to earth",
        "U_0",
        installation.supply.line_to_earth_v,
        "V",
        places=0,
    )
    limit = book.look_up(
        "open-pen-limit",
        "supply",
        "Voltage to true earth that must not be passed",
        "U",
        tables.open_pen("limit-v"),
        "V",
        places=0,
    )
    if installation.supply.phases == 3:
        _open_pen_three_phase(book, voltage, limit)
    else:
        _open_pen_one_phase(book, voltage, limit)


def _electrode(book: Book) -> Step | None:
    """The electrode that is joined to the main earthing terminal, if any."""
    for item in book.installation.electrodes:
        if item.use in ("installation", "holds-down-open-pen"):
            return book.read("electrode-resistance", item.name)
    return None


def _far(book: Book) -> Step:
    return book.fact(
        "source-electrode",
        "supply",
        "Electrode of the source",
        "R_B",
        book.installation.supply.source_electrode_ohm,
        "ohm",
        ask="ask the distributor for the resistance of the source's electrode",
        places=1,
    )


_VOLTAGE = "Main earthing terminal to true earth with the PEN broken, everything running"
_LIMIT = "Electrode that would hold 70 V, current constant"
_SELDOM = "a single rod is tens of ohms or more: it seldom can"


def _open_pen_one_phase(book: Book, voltage: Step, limit: Step) -> None:
    current = book.read("maximum-demand", "supply")
    own = _electrode(book)
    if own is None:
        book.formula(
            "open-pen-voltage",
            "supply",
            _VOLTAGE,
            earthing.OPEN_PEN_WITHOUT_ELECTRODE,
            {"U_0": voltage, "I_N": current, "I_S": current},
            places=0,
            note=(
                "no electrode is joined to the main earthing terminal: it rises to line voltage"
                " through the load"
            ),
        )
    else:
        book.formula(
            "open-pen-voltage",
            "supply",
            _VOLTAGE,
            earthing.OPEN_PEN_VOLTAGE,
            {"U_0": voltage, "R_A": own, "I": current, "R_B": _far(book)},
            places=0,
        )
    book.formula(
        "open-pen-electrode-limit",
        "supply",
        _LIMIT,
        earthing.OPEN_PEN_LIMIT,
        {"U": limit, "I": current},
        note=_SELDOM,
    )
    factor = book.look_up(
        "supply-factor",
        "supply",
        "Factor for the highest voltage of the supply",
        "C",
        tables.open_pen("supply-factor"),
        "",
    )
    # Nobody guarantees the source's electrode: none is credited to a limit.
    book.formula(
        "open-pen-electrode-limit-impedance",
        "supply",
        "The same with the load as a constant impedance, supply at its highest",
        earthing.OPEN_PEN_ANNEX_LIMIT,
        {"U": limit, "U_0": voltage, "I": current, "C": factor},
    )


def _open_pen_three_phase(book: Book, voltage: Step, limit: Step) -> None:
    sets = [
        _neutral_current(book, key, word)
        for key, word in (
            ("maximum_demand_a", "maximum demand"),
            ("at_once_a", "what runs at once"),
        )
    ]
    neutral = book.formula(
        "neutral-current",
        "supply",
        "Neutral current, the larger of the two sets of load",
        earthing.LARGER,
        {"I_1": sets[0][0], "I_2": sets[1][0]},
        places=1,
    )
    total = max(sets, key=lambda pair: pair[0].value or 0.0)[1]
    own = _electrode(book)
    watch = (
        "a monitor must watch all three lines: one alone can read inside its window while this"
        " voltage is dangerous"
    )
    if own is None:
        book.formula(
            "open-pen-voltage",
            "supply",
            _VOLTAGE,
            earthing.OPEN_PEN_WITHOUT_ELECTRODE,
            {"U_0": voltage, "I_N": neutral, "I_S": total},
            places=0,
            note=watch,
        )
    else:
        book.formula(
            "open-pen-voltage",
            "supply",
            _VOLTAGE,
            earthing.OPEN_PEN_VOLTAGE_THREE_PHASE,
            {"I_N": neutral, "I_S": total, "U_0": voltage, "R_A": own, "R_B": _far(book)},
            places=0,
            note=watch,
        )
    if neutral.value == 0:
        book.not_known(
            "open-pen-electrode-limit",
            "supply",
            _LIMIT,
            "R",
            "ohm",
            "formula",
            (neutral,),
            "no limit: a balanced load drives no current through the electrode",
        )
    else:
        book.formula(
            "open-pen-electrode-limit",
            "supply",
            _LIMIT,
            earthing.OPEN_PEN_LIMIT,
            {"U": limit, "I": neutral},
            note=_SELDOM,
        )


def _neutral_current(book: Book, key: str, words: str) -> tuple[Step, Step]:
    short = "at-once" if key == "at_once_a" else "maximum-demand"
    lines = [
        book.total(
            f"current-{short}-{line}",
            "supply",
            f"Current on {line}, {words} with the new points",
            f"I_{line[1]}",
            (
                key_of(key_of(book.installation.existing_load, line), key),
                book.read(f"points-on-{line}", "supply"),
            ),
            "A",
            "the existing load and the new points",
            ask=f"measure the current on {line}",
            places=1,
        )
        for line in LINES
    ]
    neutral = book.formula(
        f"neutral-current-{short}",
        "supply",
        f"Neutral current, {words}",
        earthing.NEUTRAL_CURRENT,
        dict(zip(("I_1", "I_2", "I_3"), lines)),
        places=1,
    )
    return neutral, book.total(
        f"current-sum-{short}",
        "supply",
        f"Sum of the line currents, {words}",
        "I_S",
        lines,
        "A",
        "sum",
        places=1,
    )
