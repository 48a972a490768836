"""Workings: drop: conductor temperature, the drop when loaded, and the drop worked from
resistance.
"""

import math

from firstway.calculations import cable as formulas
from firstway.model.installation import Circuit
from firstway.tables import looking_up as tables
from firstway.workings.bs_iec.cable import GROUND_METHODS
from firstway.workings.shared.book import Book, topic
from firstway.workings.shared.step import Step


@topic
def when_loaded(book: Book, circuit: Circuit) -> None:
    """Operating temperature of the hottest stretch, and the drop of the whole way with that
    temperature.
    """
    of = circuit.name
    current = book.read("design-current", of)
    limit = book.read("operating-limit", of)
    temperatures = [
        _of_stretch(book, circuit, place, current, limit)
        for place in range(1, len(circuit.route) + 1)
    ]
    title = "Operating temperature of the line conductor, hottest stretch"
    hottest = (
        book.worst_of(temperatures, "conductor-temperature", of, title)
        if temperatures
        else book.not_known(
            "conductor-temperature",
            of,
            title,
            "t_1",
            "C",
            "formula",
            (circuit.route,),
            "measure the route",
        )
    )
    factor = book.formula(
        "voltage-drop-when-loaded-factor",
        of,
        "Factor for conductors that run cooler than their limit",
        formulas.DROP_FACTOR_WHEN_LOADED,
        {"t_1": hottest, "t_p": limit},
        places=3,
    )
    book.formula(
        "voltage-drop-when-loaded",
        of,
        "Voltage drop with conductors at their operating temperature",
        formulas.DROP_WHEN_LOADED,
        {"C_t": factor, "V_d": book.read("voltage-drop", of)},
        note="the feed is counted with the same factor: it is short",
    )


def _of_stretch(book: Book, circuit: Circuit, place: int, current: Step, limit: Step) -> Step:
    of = circuit.name
    stretch = circuit.route[place - 1]
    where = "ground" if stretch.method in GROUND_METHODS else "air"
    factor = lambda kind: book.read(f"{kind}-factor-stretch-{place}", of)
    reference = book.look_up(
        f"reference-temperature-stretch-{place}",
        of,
        f"Temperature the capacities are printed for, stretch {place}",
        "t_r",
        tables.reference_temperature_c(where),
        "C",
        (stretch.method,),
        places=0,
    )
    inside = book.formula(
        f"capacity-inside-stretch-{place}",
        of,
        f"Capacity with insulation and soil counted, stretch {place}",
        formulas.CAPACITY_INSIDE,
        {
            "I_tab": book.read(f"tabulated-capacity-stretch-{place}", of),
            "C_i": factor("thermal-insulation"),
            "C_s": factor("soil"),
        },
        places=1,
    )
    return book.formula(
        f"conductor-temperature-stretch-{place}",
        of,
        f"Operating temperature, stretch {place}",
        formulas.CONDUCTOR_TEMPERATURE,
        {
            "t_p": limit,
            "C_a": factor("ambient"),
            "C_g": factor("grouping"),
            "I_b": current,
            "I_t": inside,
            "t_r": reference,
        },
        places=1,
    )


@topic
def by_resistance(book: Book, circuit: Circuit) -> None:
    """The drop worked from the resistance of the conductors at their operating limit."""
    of = circuit.name
    three = len(circuit.lines) == 3
    both = math.sqrt(3) if three else 2.0
    alpha = book.read("temperature-coefficient", of)
    own = book.formula(
        "voltage-drop-by-resistance-of-circuit",
        of,
        "Drop of the circuit alone, from its resistance",
        formulas.DROP_BY_RESISTANCE,
        {
            "b": both,
            "I_b": book.read("design-current", of),
            "r_1": book.read("line-resistance", of),
            "alpha": alpha,
            "t": book.read("operating-limit", of),
            "L": book.read("length", of),
        },
    )
    feed = book.formula(
        "voltage-drop-by-resistance-of-feed",
        of,
        "Drop of the feed on this circuit's lines, from its resistance",
        formulas.DROP_BY_RESISTANCE,
        {
            "b": both,
            "I_b": book.read("design-current", "feed"),
            "r_1": book.read("line-resistance", "feed"),
            "alpha": alpha,
            "t": book.read("operating-limit", "feed"),
            "L": book.read("length", "feed"),
        },
        places=3,
    )
    book.formula(
        "voltage-drop-by-resistance",
        of,
        "Voltage drop worked from resistance, power factor 1",
        formulas.TWO_DROPS,
        {"V_f": feed, "V_c": own},
        note=_agreement(book, of, feed, own),
    )


def _agreement(book: Book, of: str, feed: Step, own: Step) -> str:
    tabulated = book.read("voltage-drop", of).value
    if tabulated is None or feed.value is None or own.value is None:
        return ""
    apart = 100 * (feed.value + own.value - tabulated) / tabulated
    return (
        f"{abs(apart):.1f} % {'above' if apart > 0 else 'below'} the tabulated drop: the tables"
        " round, and hold conductors at their limit too"
    )
