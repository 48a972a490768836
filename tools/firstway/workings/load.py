"""Workings: load: the current a circuit is designed for and the device that guards it."""

from __future__ import annotations

from firstway.calculations import load
from firstway.model.installation import ChargingPoint, Circuit
from firstway.model.values import is_known
from firstway.workings.book import Book
from firstway.workings.step import Step


def design_current(book: Book, circuit: Circuit) -> Step:
    """Ib: the set current of the point, or worked from its power."""
    points = book.installation.points_of(circuit)
    title = "Design current: what the charging point is set to draw, hour after hour"
    if len(points) == 1:
        return _of_point(book, circuit, points[0], title)
    currents = [point.current_a for point in points]
    path = f"circuits.{circuit.name}.supplies"
    if all(is_known(current) for current in currents):
        return book.fact("design-current", circuit.name, title, "I_b", sum(currents), "A", path,  # type: ignore[arg-type]
                         note="the set currents of its points together: no diversity on the circuit of a point")
    return book.not_known("design-current", circuit.name, title, "I_b", "A", "fact", (path,),
                          "give the set current of every point")


def _of_point(book: Book, circuit: Circuit, point: ChargingPoint, title: str) -> Step:
    path = f"charging_points.{point.name}"
    if is_known(point.current_a):
        return book.fact("design-current", circuit.name, title, "I_b", point.current_a, "A", f"{path}.current_a")
    power = book.fact("power", point.name, "Power of the charging point", "P", point.power_kw, "kW", f"{path}.power_kw")
    supply = book.installation.supply
    if len(point.lines) == 3:
        voltage = book.fact("line-voltage", circuit.name, "Voltage between lines", "U", supply.line_to_line_v, "V",
                            "supply.line_to_line_v", places=0)
        return book.formula("design-current", circuit.name, title, load.DESIGN_CURRENT_THREE_PHASE,
                            {"P": power, "U": voltage})
    voltage = book.fact("voltage-to-earth", circuit.name, "Voltage to earth", "U_0", supply.line_to_earth_v, "V",
                        "supply.line_to_earth_v", places=0)
    return book.formula("design-current", circuit.name, title, load.DESIGN_CURRENT_ONE_PHASE, {"P": power, "U_0": voltage})


def device_rating(book: Book, circuit: Circuit) -> Step:
    """In of the device in the way that feeds the circuit."""
    way = book.installation.way_feeding(circuit.name)
    return book.choice("device-rating", circuit.name, f"Rated current of {way.name}, the device of the circuit", "I_n",
                       way.rating_a, "A", f"board.ways.{way.name}.rating_a", places=0)


def feed_current(book: Book) -> None:
    """Ib of the feed: its points on the line that carries most, or the limiter's figure where that is smaller."""
    installation = book.installation
    sums = {line: sum(step.value or 0 for circuit in installation.circuits if line in circuit.lines
                      for step in [book.read("design-current", circuit.name)])
            for line in sorted({line for circuit in installation.circuits for line in circuit.lines})}
    unknown = [circuit.name for circuit in installation.circuits if book.read("design-current", circuit.name).value is None]
    title = "Design current of the feed: all its points together"
    if unknown:
        book.not_known("design-current", "feed", title, "I_b", "A", "fact",
                       tuple(f"circuits.{name}" for name in unknown), "give the set current of every point")
        return
    line, total = max(sums.items(), key=lambda item: item[1])
    limiter = installation.load_limiter
    note = f"the sum on {line}" if len(sums) > 1 else ""
    if is_known(limiter) and is_known(limiter.limit_a) and limiter.documented is True and limiter.limit_a < total:
        book.fact("design-current", "feed", title, "I_b", limiter.limit_a, "A", "load_limiter.limit_a",
                  note=f"the limiter holds the sum of {total:g} A below this")
        return
    inputs = tuple(f"design-current {circuit.name}" for circuit in installation.circuits if line in circuit.lines)
    book.write(Step("design-current", "feed", title, "I_b", total, "A", "fact", inputs,
                    "sum of the circuits it feeds; no diversity", "", places=2, note=note))


def feed_device(book: Book) -> None:
    """In of the device that guards the feed: the last one it runs through, else the service device."""
    installation = book.installation
    feed = installation.feed
    devices = [item for item in feed.through if not isinstance(item, str)] if is_known(feed) else []
    title = "Rated current of the device that guards the feed"
    if devices:
        place = list(feed.through).index(devices[-1]) + 1  # type: ignore[union-attr]
        book.fact("device-rating", "feed", title, "I_n", devices[-1].rating_a, "A", f"feed.through.{place}.rating_a", places=0)
        return
    service = installation.supply.service_device
    book.fact("device-rating", "feed", title, "I_n", service.rating_a if is_known(service) else service, "A",
              "supply.service_device.rating_a", ask="ask the distributor for the rating of the service device", places=0)
