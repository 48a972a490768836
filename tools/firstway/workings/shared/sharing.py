"""Workings: several points: what a shared limit leaves each of them, how vehicles of one phase load
the lines, and what the supply and the feed carry once later points are there.
"""

from collections.abc import Mapping, Sequence

from firstway.calculations import earthing
from firstway.calculations import load as formulas
from firstway.calculations.adding import added
from firstway.model.installation import LINES, Amount, ChargingPoint, Installation, SharedLimit
from firstway.model.values import Absent, is_known
from firstway.workings.shared.book import Book, topic
from firstway.workings.shared.step import Step


def counted_limit(installation: Installation) -> SharedLimit | None:
    """The shared limit, where it may be counted: its maker declares it, it is written down, and
    without a signal its points stay within it all the same.
    """
    shared = installation.shared_limit
    if isinstance(shared, Absent) or shared.declared is not True or shared.documented is not True:
        return None
    lost, limit = shared.on_lost_signal_a, shared.limit_a
    if not is_known(lost) or not is_known(limit) or len(shared.points) * lost > limit:
        return None
    turned = any(
        is_known(point.line_order) and point.line_order != point.lines
        for point in sharing_points(installation)
    )
    return None if turned and shared.knows_line_order is not True else shared


def sharing_points(installation: Installation) -> tuple[ChargingPoint, ...]:
    """The points that share a limit, in the order of the file."""
    shared = installation.shared_limit
    names = () if isinstance(shared, Absent) else shared.points
    return tuple(point for point in installation.charging_points if point.name in names)


def held_together(
    installation: Installation, currents: Mapping[str, Step]
) -> tuple[list[Step | Amount], str]:
    """What circuits on one line carry, each with its design current, and a note: where a counted
    limit holds some of them below their sum it stands in their place.
    """
    shared = counted_limit(installation)
    if shared is None:
        return [*currents.values()], ""
    held = [
        name
        for name in currents
        if all(point in shared.points for point in installation.circuit(name).supplies)
    ]
    whole = added(currents[name].value or 0.0 for name in held)
    if not is_known(shared.limit_a) or whole <= shared.limit_a:
        return [*currents.values()], ""
    others = [step for name, step in currents.items() if name not in held]
    note = f"a shared limit holds {' and '.join(shared.points)} below their {whole:g} A together"
    return [shared.limit_a, *others], note


@topic
def shared_limit(book: Book) -> None:
    """What a shared limit leaves each point, and what they draw without their signal."""
    shared = book.installation.shared_limit
    if isinstance(shared, Absent):
        return
    count = book.constant(
        "points-sharing",
        "supply",
        "Points that share the limit",
        "n",
        float(len(shared.points)),
        "",
        "counted in the file",
        (shared.points,),
        places=0,
    )
    limit = book.fact(
        "shared-limit",
        "supply",
        "Current that the points keep to together, on each line",
        "I_s",
        shared.limit_a,
        "A",
        ask="read what the points are set to share",
        places=0,
    )
    book.formula(
        "shared-each",
        "supply",
        "What each point has when all of them charge",
        formulas.SHARE_OF_EACH,
        {"I_s": limit, "n": count},
        places=1,
    )
    lost = book.fact(
        "lost-signal-current",
        "supply",
        "Current each point falls to when they lose each other",
        "I_f",
        shared.on_lost_signal_a,
        "A",
        ask="ask the maker of the points what each of them does when its signal is lost",
        places=0,
    )
    book.formula(
        "lost-together",
        "supply",
        "What they draw together on a line without their signal",
        formulas.LOST_TOGETHER,
        {"n": count, "I_f": lost},
        places=0,
    )


@topic
def one_phase_vehicles(book: Book) -> None:
    """A vehicle of one phase at each point of three lines, with the order of the lines as it is
    and with the same order at every point.
    """
    points = [point for point in book.installation.charging_points if len(point.lines) == 3]
    if len(points) < 2:
        return
    orders = [point.line_order for point in points]
    if not all(is_known(order) for order in orders):
        book.not_known(
            "one-phase-neutral",
            "supply",
            _TURNED,
            "I_N",
            "A",
            "formula",
            tuple(order for order in orders if not is_known(order)),
            "look which line is at the first terminal of each point",
        )
        return
    own = {
        line: [point for point, order in zip(points, orders) if _first(order) == line]
        for line in LINES
    }
    lines = [
        book.total(
            f"one-phase-on-{line}",
            "supply",
            f"Vehicles of one phase on {line}, one at each point of three lines",
            f"I_{line[1]}",
            [book.read("design-current", _circuit(book, point)) for point in own[line]],
            "A",
            "sum of the points whose first terminal has this line",
            places=1,
        )
        for line in LINES
    ]
    book.formula(
        "one-phase-neutral",
        "supply",
        _TURNED,
        earthing.NEUTRAL_CURRENT,
        dict(zip(("I_1", "I_2", "I_3"), lines)),
        places=1,
    )
    book.total(
        "one-phase-unturned",
        "supply",
        "The same on one line and in the neutral, were every point joined in the same order",
        "I_1",
        [book.read("design-current", _circuit(book, point)) for point in points],
        "A",
        "sum: they would all meet on one line",
        places=1,
    )


_TURNED = "Neutral current with a vehicle of one phase at each point, lines as they are joined"


def _first(order: Sequence[str] | Absent) -> str:
    return "" if isinstance(order, Absent) else order[0]


def _circuit(book: Book, point: ChargingPoint) -> str:
    return next(
        circuit.name for circuit in book.installation.circuits if point.name in circuit.supplies
    )


@topic
def later_points(book: Book) -> None:
    """The feed and the supply with the points that come later, on the line that carries most."""
    later = book.installation.later_points
    if not later:
        return
    lines = sorted({line for point in later for line in point.lines})
    coming = {
        line: book.total(
            f"later-on-{line}",
            "supply",
            f"Later points on {line}, at the currents they are to be set to",
            "I_2",
            [point.current_a for point in later if line in point.lines],
            "A",
            "sum of the set currents, no diversity",
            places=1,
        )
        for line in lines
    }
    for step_id, title, now in (
        ("feed-with-later", "Current of the feed with the later points", "points-on-{}"),
        ("demand-with-later", "Maximum demand with the later points", "maximum-demand-{}"),
    ):
        each = [
            book.formula(
                f"{step_id}-{line}",
                "supply",
                f"{title}, on {line}",
                formulas.WITH_LATER_POINTS,
                {"I_b": book.read(now.format(line), "supply"), "I_2": coming[line]},
                places=1,
            )
            for line in lines
        ]
        book.worst_of(each, step_id, "supply", f"{title}, on the line that carries most")
