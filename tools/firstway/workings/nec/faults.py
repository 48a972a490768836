"""Workings: nec faults: the largest current at the board, and the loop of a fault to the grounding
conductor.
"""

from firstway.calculations import nec as formulas
from firstway.model.installation import Amount
from firstway.model.values import is_known, key_of
from firstway.workings.shared.book import Book, topic
from firstway.workings.shared.step import Step


@topic
def at_the_lugs(book: Book) -> None:
    """Largest fault current at the board's lugs: line to neutral and line to line, the
    feed cold.
    """
    supply = book.installation.supply
    cold = book.formula(
        "feed-two-conductors",
        "feed",
        "Two conductors of the feed in series, at 20 °C",
        formulas.TWO_CONDUCTORS,
        {"r": book.read("line-resistance", "feed"), "L": book.read("length", "feed")},
        places=4,
    )
    neutral = _of(
        book,
        "line-neutral",
        "line and neutral",
        supply.line_to_earth_v,
        cold,
        supply.line_neutral_loop_ohm,
    )
    lines = _of(book, "line-line", "the two lines", supply.line_to_line_v, cold, None)
    book.formula(
        "fault-current-at-board",
        "board",
        "Largest fault current at the board's incoming terminals",
        formulas.NEC_LARGEST_CURRENT,
        {"I_LN": neutral, "I_LL": lines},
        places=2,
    )


def _of(book: Book, which: str, words: str, volts: Amount, cold: Step, loop: Amount | None) -> Step:
    voltage = book.fact(
        f"{which}-voltage", "board", f"Voltage between {words}", "U", volts, "V", places=0
    )
    whole = book.formula(
        f"{which}-impedance-at-board",
        "board",
        f"Impedance as far as the board, {words}",
        formulas.IMPEDANCE_AT_BOARD,
        {"Z_o": _origin(book, which, words, voltage, loop), "R_f": cold},
        places=4,
        note=(
            "on the safe side: the supply's angle is not known, so the two are added at right"
            " angles, which gives the larger current"
        ),
    )
    return book.formula(
        f"{which}-fault-at-board",
        "board",
        f"Largest fault current between {words}",
        formulas.NEC_FAULT_CURRENT_KA,
        {"U": voltage, "Z": whole},
        places=2,
    )


def _origin(book: Book, which: str, words: str, voltage: Step, loop: Amount | None) -> Step:
    """Source impedance: from the prospective current, or as given for line and neutral."""
    title = f"Impedance of the supply between {words}"
    if loop is not None and is_known(loop):
        return book.fact(
            f"{which}-impedance-at-origin", "board", title, "Z_o", loop, "ohm", places=4
        )
    given = book.installation.supply.prospective_fault_current_ka
    current = book.fact(
        f"{which}-fault-at-origin",
        "board",
        f"Available fault current at the origin, {words}",
        "I_k",
        key_of(given, which.replace("-", "_")),
        "kA",
        ask=f"ask the utility for the available fault current between {words}",
    )
    return book.formula(
        f"{which}-impedance-at-origin",
        "board",
        title,
        formulas.NEC_SOURCE_IMPEDANCE,
        {"U": voltage, "I_k": current},
        places=4,
    )


def _external(book: Book, of: str, voltage: Step) -> Step:
    """Loop of the supply as the file gives it, else as worked from the available current of the
    same fault.
    """
    supply, title = (
        book.installation.supply,
        "Loop impedance of the supply, outside the installation",
    )
    current = key_of(supply.prospective_fault_current_ka, "line_earth")
    if is_known(supply.ze_ohm) or not is_known(current):
        return book.fact(
            "external-loop-impedance",
            of,
            title,
            "Z_e",
            supply.ze_ohm,
            "ohm",
            places=3,
            ask=(
                "a licensed person measures the ground-fault loop at the service, or asks the"
                " utility"
            ),
        )
    there = book.fact(
        "line-earth-fault-at-origin",
        of,
        "Available ground-fault current at the origin",
        "I_k",
        current,
        "kA",
    )
    return book.formula(
        "external-loop-impedance",
        of,
        title,
        formulas.NEC_SOURCE_IMPEDANCE,
        {"U": voltage, "I_k": there},
        places=3,
        symbol="Z_e",
    )


@topic
def ground_fault_loop(book: Book, of: str) -> None:
    """Loop of a line-to-ground fault at the point, conductors at 75 °C, and the current it lets
    flow.
    """
    voltage = book.fact(
        "voltage-to-earth",
        of,
        "Voltage to ground",
        "U_0",
        book.installation.supply.line_to_earth_v,
        "V",
        places=0,
    )
    external = _external(book, of, voltage)
    note = (
        "the code names no limit in ohm: the path must be low enough to open the device"
        " (250.4(A)(5))"
    )
    loop = book.formula(
        "loop-impedance",
        of,
        "Ground-fault loop at the charging point, conductors at 75 °C",
        formulas.GROUND_FAULT_LOOP,
        {
            "Z_e": external,
            "R_f": book.read("r1-plus-r2-hot", "feed"),
            "R_c": book.read("r1-plus-r2-hot", of),
        },
        places=3,
        note=note,
    )
    book.formula(
        "loop-impedance-reading",
        of,
        "Loop a tester should show, conductors at 20 °C",
        formulas.GROUND_FAULT_LOOP,
        {
            "Z_e": external,
            "R_f": book.read("r1-plus-r2-reading", "feed"),
            "R_c": book.read("r1-plus-r2-reading", of),
        },
        places=3,
    )
    book.formula(
        "earth-fault-current",
        of,
        "Ground-fault current at the charging point",
        formulas.GROUND_FAULT_CURRENT,
        {"U_0": voltage, "Z_s": loop},
        places=0,
    )
