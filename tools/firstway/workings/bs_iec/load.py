"""Workings: load: the current a circuit is designed for and the device that guards it."""

from collections.abc import Sequence

from firstway.calculations import load
from firstway.calculations.adding import added
from firstway.model.installation import Amount, ChargingPoint, Circuit, Feed, ServiceDevice
from firstway.model.values import Absent, is_known, key_of
from firstway.workings.shared.book import Book, topic
from firstway.workings.shared.sharing import held_together
from firstway.workings.shared.step import Step


@topic
def design_current(book: Book, circuit: Circuit) -> Step:
    """Ib: the set current of the point, or worked from its power."""
    points = book.installation.points_of(circuit)
    title = "Design current: what the charging point is set to draw, hour after hour"
    if len(points) == 1:
        return _of_point(book, circuit, points[0], title)
    return book.total(
        "design-current",
        circuit.name,
        title,
        "I_b",
        [point.current_a for point in points],
        "A",
        "sum of the set currents",
        ask="give the set current of every point",
        note="the set currents of its points together: no diversity on the circuit of a point",
    )


def _of_point(book: Book, circuit: Circuit, point: ChargingPoint, title: str) -> Step:
    of, supply = circuit.name, book.installation.supply
    if is_known(point.current_a):
        return book.fact("design-current", of, title, "I_b", point.current_a, "A")
    power = book.fact("power", point.name, "Power of the charging point", "P", point.power_kw, "kW")
    if len(point.lines) == 3:
        voltage = book.fact(
            "line-voltage", of, "Voltage between lines", "U", supply.line_to_line_v, "V", places=0
        )
        return book.formula(
            "design-current", of, title, load.DESIGN_CURRENT_THREE_PHASE, {"P": power, "U": voltage}
        )
    voltage = book.fact(
        "voltage-to-earth", of, "Voltage to earth", "U_0", supply.line_to_earth_v, "V", places=0
    )
    return book.formula(
        "design-current", of, title, load.DESIGN_CURRENT_ONE_PHASE, {"P": power, "U_0": voltage}
    )


@topic
def device_rating(book: Book, circuit: Circuit) -> Step:
    """In of the device in the way that feeds the circuit."""
    way = book.installation.way_feeding(circuit.name)
    return book.choice(
        "device-rating",
        circuit.name,
        f"Rated current of {way.name}, the device of the circuit",
        "I_n",
        way.rating_a,
        "A",
        places=0,
    )


@topic
def feed_current(book: Book) -> None:
    """Ib of the feed: its points on the line that carries most, or the limiter's figure where that
    is smaller.
    """
    installation = book.installation
    currents = {
        circuit.name: book.read("design-current", circuit.name) for circuit in installation.circuits
    }
    title = "Design current of the feed: all its points together"
    unknown = [step for step in currents.values() if step.value is None]
    if unknown:
        book.not_known(
            "design-current",
            "feed",
            title,
            "I_b",
            "A",
            "fact",
            unknown,
            "give the set current of every point",
        )
        return
    lines = sorted({line for circuit in installation.circuits for line in circuit.lines})
    on_line = {
        line: held_together(
            installation,
            {
                each.name: currents[each.name]
                for each in installation.circuits
                if line in each.lines
            },
        )
        for line in lines
    }
    line = max(lines, key=lambda name: _sum(on_line[name][0]))
    items, shared = on_line[line]
    together = _sum(items)
    limiter = installation.load_limiter
    if (
        is_known(limiter)
        and is_known(limiter.limit_a)
        and limiter.documented is True
        and limiter.limit_a < together
    ):
        book.fact(
            "design-current",
            "feed",
            title,
            "I_b",
            limiter.limit_a,
            "A",
            note=f"the limiter holds the sum of {together:g} A below this",
        )
        return
    book.total(
        "design-current",
        "feed",
        title,
        "I_b",
        items,
        "A",
        "sum of the circuits it feeds; no diversity",
        note="; ".join(
            [*([f"the sum on {line}"] if len(lines) > 1 else []), *([shared] if shared else [])]
        ),
    )


def _sum(items: Sequence[Step | Amount]) -> float:
    figures = [item.value if isinstance(item, Step) else item for item in items]
    return added(figure for figure in figures if figure is not None and is_known(figure))


@topic
def feed_device(book: Book) -> None:
    """In of the device that guards the feed: the last one it runs through, else the
    service device.
    """
    installation = book.installation
    own = device_of_feed(installation.feed)
    device = own or installation.supply.service_device
    book.fact(
        "device-rating",
        "feed",
        "Rated current of the device that guards the feed",
        "I_n",
        key_of(device, "rating_a"),
        "A",
        ask="" if own else "ask the distributor for the rating of the service device",
        places=0,
    )


def device_of_feed(feed: Feed | Absent) -> ServiceDevice | None:
    """The last device of its own the feed runs through; None where it has none."""
    devices = [item for item in feed.through if not isinstance(item, str)] if is_known(feed) else []
    return devices[-1] if devices else None
