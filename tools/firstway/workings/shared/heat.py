"""Workings: heat: what the devices and wires lose inside the enclosure, how warm it may get and how
fast. A band, never a verdict.
"""

from firstway.calculations import heat as formulas
from firstway.calculations.adding import added
from firstway.frozen import dataclass
from firstway.model.installation import Amount, Circuit, Way
from firstway.model.values import NONE, Told, in_place_of, is_known, key_of
from firstway.tables.reading import (
    Gap,
    Read,
    assumed_loss,
    cooling_surface_factor,
    heat_transfer_w_per_m2_k,
    highest_pole_loss_w,
)
from firstway.workings.shared.book import Book, row_read, topic
from firstway.workings.shared.step import Step


@dataclass(frozen=True)
class Loss:
    """A loss with its band, in watt."""

    step: Step
    low: float
    high: float


@topic
def board_heat(book: Book) -> None:
    """Losses of devices, switch, wires and surge protective device; the rise they make; the rating
    when warm.
    """
    losses = [loss for circuit in book.installation.circuits for loss in _circuit(book, circuit)]
    losses += [loss for loss in (_switch(book), _surge(book)) if loss]
    title = "Heat lost inside the enclosure, all points charging"
    total = book.total(
        "enclosure-loss",
        "board",
        title,
        "P",
        [loss.step for loss in losses],
        "W",
        "sum of the losses above",
        places=1,
        band=(added(loss.low for loss in losses), added(loss.high for loss in losses)),
        assumed=("tables assumed_loss",),
        note="illustrative: losses not stated by a maker carry a wide band",
    )
    rise = _rise(book, total)
    _time_constant(book, rise)
    for way in book.installation.board.ways:
        if way.device in ("rcbo", "circuit-breaker"):
            _rating_when_warm(book, way, rise)


def _assumed(
    book: Book, step_id: str, of: str, title: str, symbol: str, quantity: str, unit: str
) -> tuple[Step, float]:
    found = assumed_loss(quantity)
    step = book.look_up(step_id, of, title, symbol, found, unit, places=1, note="assumed")
    return step, float(found.row.cells["band_share"]) if isinstance(found, Read) else 0.0


def _circuit(book: Book, circuit: Circuit) -> list[Loss]:
    of = circuit.name
    way = book.installation.way_feeding(of)
    poles = book.fact(
        "poles",
        way.name,
        f"Poles of {way.name} that carry the current",
        "n",
        (
            way.switched_poles
            if len(circuit.lines) == 1 or not is_known(way.switched_poles)
            else in_place_of(way.switched_poles, len(circuit.lines))
        ),
        "",
        places=0,
        note=(
            "three phases: the neutral of a balanced load carries nothing"
            if len(circuit.lines) == 3
            else ""
        ),
    )
    loss, band = _pole_loss(book, way)
    own = book.formula(
        "device-loss",
        way.name,
        f"Heat lost in {way.name}",
        formulas.DEVICE_LOSS,
        {
            "n": poles,
            "p": loss,
            "I_b": book.read("design-current", of),
            "I_n": book.read("device-rating", of),
        },
        places=1,
    )
    wire = _wire(book, circuit)
    return [Loss(own, (own.value or 0) * (1 - band), (own.value or 0) * (1 + band)), wire]


def _pole_loss(book: Book, way: Way) -> tuple[Step, float]:
    title = f"Heat each pole of {way.name} loses at its rated current"
    if is_known(way.loss_w_per_pole):
        return book.fact("pole-loss", way.name, title, "p", way.loss_w_per_pole, "W", places=1), 0.0
    if not is_known(way.rating_a):
        return book.fact("pole-loss", way.name, title, "p", way.rating_a, "W"), 0.0
    highest, share = highest_pole_loss_w(float(way.rating_a)), assumed_loss("pole-share-of-highest")
    if isinstance(highest, Gap) or isinstance(share, Gap):
        return book.look_up("pole-loss", way.name, title, "p", highest, "W", (way.rating_a,)), 0.0
    step = book.look_up(
        "pole-loss",
        way.name,
        title,
        "p",
        Read(highest.value * share.value, highest.row, (share.row,)),
        "W",
        (way.rating_a,),
        places=1,
        note=(
            f"the maker states none: {share.value:g} of the highest the product standard allows,"
            " assumed"
        ),
    )
    return step, float(share.row.cells["band_share"])


def _wire(book: Book, circuit: Circuit) -> Loss:
    of = circuit.name
    length, band = _assumed(
        book,
        "wire-inside",
        of,
        "Wire inside the enclosure, line and neutral together",
        "L",
        "wire-inside-m",
        "m",
    )
    warm, _ = _assumed(
        book, "wire-temperature", of, "Temperature counted for it", "t", "wire-c", "C"
    )
    step = book.formula(
        "wire-loss",
        of,
        f"Heat lost in the wires of {of} inside the enclosure",
        formulas.WIRE_LOSS,
        {
            "I_b": book.read("design-current", of),
            "r_1": book.read("line-resistance", of),
            "alpha": book.read("temperature-coefficient", of),
            "t": warm,
            "L": length,
        },
        places=1,
    )
    return Loss(step, (step.value or 0) * (1 - band), (step.value or 0) * (1 + band))


def _switch(book: Book) -> Loss | None:
    switch = book.installation.board.main_switch
    if switch == NONE:
        return None
    if not is_known(switch):
        own = key_of(switch, "loss_w_per_pole")
        loss = book.fact("switch-loss", "board", "Heat the main switch loses", "P", own, "W")
        return Loss(loss, 0.0, 0.0)
    of, poles_opened = switch.name, switch.switched_poles
    poles = book.fact(
        "poles",
        of,
        f"Poles of {of} that carry the current",
        "n",
        (
            in_place_of(poles_opened, min(int(poles_opened), 3))
            if is_known(poles_opened)
            else poles_opened
        ),
        "",
        places=0,
    )
    band = 0.0
    if is_known(switch.loss_w_per_pole):
        loss = book.fact(
            "pole-loss",
            of,
            f"Heat each pole of {of} loses at its rated current",
            "p",
            switch.loss_w_per_pole,
            "W",
            places=1,
        )
        rating = book.fact(
            "switch-rating", of, f"Rated current of {of}", "I_n", switch.rating_a, "A", places=0
        )
    else:
        loss, band = _assumed(
            book,
            "pole-loss",
            of,
            f"Heat each pole of {of} loses at 100 A",
            "p",
            "switch-pole-at-100-a",
            "W",
        )
        rating = book.constant(
            "switch-rating",
            of,
            "Current that loss is stated for",
            "I_n",
            100.0,
            "A",
            "the row above",
            (loss,),
            places=0,
        )
    step = book.formula(
        "device-loss",
        of,
        f"Heat lost in {of}",
        formulas.DEVICE_LOSS,
        {"n": poles, "p": loss, "I_b": book.read("design-current", "feed"), "I_n": rating},
        places=1,
    )
    return Loss(step, (step.value or 0) * (1 - band), (step.value or 0) * (1 + band))


def _surge(book: Book) -> Loss | None:
    if not any(way.device == "spd" for way in book.installation.board.ways):
        return None
    step, band = _assumed(
        book,
        "surge-device-loss",
        "board",
        "Heat lost in the surge protective device",
        "P",
        "spd",
        "W",
    )
    return Loss(step, (step.value or 0) * (1 - band), (step.value or 0) * (1 + band))


@topic
def _rise(book: Book, total: Step) -> Step:
    title = "Rise of the air inside the enclosure over the room, steady"
    enclosure = book.installation.board.enclosure
    surface = _surface(book)
    if surface is None or not is_known(enclosure) or not is_known(enclosure.material):
        return book.not_known(
            "enclosure-rise",
            "board",
            title,
            "t_r",
            "K",
            "formula",
            _absent_of_enclosure(book),
            "measure the enclosure, and look how it is mounted",
        )
    found = heat_transfer_w_per_m2_k(str(enclosure.material))
    through = book.look_up(
        "heat-transfer",
        "board",
        "Heat the enclosure passes for each square metre and kelvin",
        "h",
        found,
        "W/m2K",
        (enclosure.material,),
        places=1,
    )
    rise = book.formula(
        "enclosure-rise",
        "board",
        title,
        formulas.TEMPERATURE_RISE,
        {"P": total, "h": through, "A": surface},
        places=0,
        note=(
            "illustrative for so small an enclosure: a band, never a verdict. A gap between devices"
            " helps only where both neighbours are hot, and only as the maker says; beside a cold"
            " device it can make the hot one warmer"
        ),
    )
    if (
        rise.value is not None
        and isinstance(found, Read)
        and total.low is not None
        and total.high is not None
        and surface.value
    ):
        band = float(found.row.cells["band_share"])
        rise = book.amend(
            rise,
            low=total.low / (found.value * (1 + band) * surface.value),
            high=total.high / (found.value * (1 - band) * surface.value),
        )
    return rise


@topic
def _time_constant(book: Book, rise: Step) -> None:
    """How fast the air inside follows: after this time 63 % of the steady rise.

    No key holds a mass: all are assumed.
    """
    of, title = "board", "Time in which the air inside makes 63 % of its steady rise"
    enclosure, through = book.installation.board.enclosure, book.find("heat-transfer", "board")
    modules = _modules(book)
    unknown = [each for each in modules if not is_known(each)]
    if not rise.known or through is None or not through.known or not is_known(enclosure) or unknown:
        book.not_known(
            "enclosure-time-constant",
            of,
            title,
            "tau",
            "min",
            "formula",
            [*unknown, *([] if unknown and rise.known else [rise])],
            rise.ask or "name the modules of every way",
        )
        return
    material = str(enclosure.material)
    row, band = _assumed(
        book,
        "wall-mass",
        of,
        "Mass of a square metre of its walls",
        "g",
        f"wall-mass-{material}",
        "kg/m2",
    )
    walls = book.formula(
        "mass-of-walls",
        of,
        "Mass of the walls",
        formulas.SHEET_MASS,
        {
            "g": row,
            **{
                symbol: book.read(f"enclosure-{word}", of)
                for word, symbol in (("width", "W"), ("height", "H"), ("depth", "D"))
            },
        },
    )
    count = book.total(
        "modules-fitted", of, "Modules of the devices fitted", "n", modules, "", "counted", places=0
    )
    plastic, _ = _assumed(
        book,
        "plastic-of-a-module",
        of,
        "Plastic in a module of a device",
        "m_p",
        "plastic-of-a-module",
        "kg",
    )
    copper, _ = _assumed(
        book,
        "copper-of-a-module",
        of,
        "Copper in a module of a device and its wire",
        "m_c",
        "copper-of-a-module",
        "kg",
    )
    warms = {
        symbol: assumed_loss(f"specific-heat-{what}")
        for symbol, what in (("c_w", material), ("c_p", "plastic"), ("c_c", "copper"))
    }
    capacity = book.formula(
        "heat-capacity",
        of,
        "Heat the board takes in for each kelvin",
        formulas.HEAT_CAPACITY,
        {
            "m_w": walls,
            "n": count,
            "m_p": plastic,
            "m_c": copper,
            **{symbol: found.value for symbol, found in warms.items() if isinstance(found, Read)},
        },
        places=0,
        rows=tuple(
            row_read(found.row, found.value, "J/kgK")
            for found in warms.values()
            if isinstance(found, Read)
        ),
    )
    constant = book.formula(
        "enclosure-time-constant",
        of,
        title,
        formulas.TIME_CONSTANT,
        {"C": capacity, "h": through, "A": book.read("cooling-surface", of)},
        places=0,
        note=(
            "illustrative: no mass is in the file; those assumed carry a band of half. It says"
            " when, not how warm"
        ),
    )
    if constant.value is not None:
        found = heat_transfer_w_per_m2_k(material)
        share = float(found.row.cells["band_share"]) if isinstance(found, Read) else 0.0
        book.amend(
            constant,
            low=constant.value * (1 - band) / (1 + share),
            high=constant.value * (1 + band) / (1 - share),
        )


def _modules(book: Book) -> list[Amount]:
    """Modules of everything fitted but blanks."""
    board = book.installation.board
    modules: list[Amount] = [way.modules for way in board.ways if way.device != "blank"]
    switch = board.main_switch
    return modules if switch == NONE else [*modules, key_of(switch, "modules")]


def _absent_of_enclosure(book: Book) -> tuple[Told, ...]:
    enclosure = book.installation.board.enclosure
    keys = [
        key_of(enclosure, name)
        for name in ("width_mm", "height_mm", "depth_mm", "material", "mounting")
    ]
    return tuple(key for key in keys if not is_known(key)) or (keys[-1],)


def _surface(book: Book) -> Step | None:
    enclosure = book.installation.board.enclosure
    if not is_known(enclosure) or not is_known(enclosure.mounting):
        return None
    title = "Surface that gives off heat, each face by its factor"
    size = {
        symbol: book.fact(
            f"enclosure-{word}",
            "board",
            f"{word.capitalize()} of the enclosure",
            symbol,
            _in_metres(getattr(enclosure, f"{word}_mm")),
            "m",
            places=3,
        )
        for word, symbol in (("width", "W"), ("height", "H"), ("depth", "D"))
    }
    found = {
        symbol: cooling_surface_factor(surface)
        for surface, symbol in (
            ("exposed-top", "b_t"),
            ("front", "b_f"),
            ("exposed-side", "b_s"),
            ("covered-back", "b_b"),
        )
    }
    factors = {symbol: each.value for symbol, each in found.items() if isinstance(each, Read)}
    if len(factors) < len(found):
        return None
    if enclosure.mounting == "flush":
        return book.formula(
            "cooling-surface",
            "board",
            title,
            formulas.COOLING_SURFACE_FLUSH,
            {"W": size["W"], "H": size["H"], "b_f": factors["b_f"]},
            places=4,
        )
    if enclosure.mounting == "free-standing":
        return book.formula(
            "cooling-surface",
            "board",
            title,
            formulas.COOLING_SURFACE_FREE,
            {**size, "b_t": factors["b_t"], "b_s": factors["b_s"]},
            places=4,
            note="the sun on a pillar is not in it",
        )
    return book.formula(
        "cooling-surface",
        "board",
        title,
        formulas.COOLING_SURFACE_WALL,
        {**size, **factors},
        places=4,
    )


def _in_metres(length_mm: Amount) -> Amount:
    return in_place_of(length_mm, length_mm / 1000) if is_known(length_mm) else length_mm


@topic
def _rating_when_warm(book: Book, way: Way, rise: Step) -> None:
    """Rated current at the temperature inside, on a straight line between the maker's own points;
    else not known.
    """
    ambient = key_of(book.installation.board.place, "ambient_c")
    title = f"Current {way.name} may carry as warm as it gets inside"
    points = sorted((point.ambient_c, point.rating_a) for point in way.rating_when_warm)
    if rise.value is None or not is_known(ambient):
        book.not_known(
            "device-current-when-warm",
            way.name,
            title,
            "I_w",
            "A",
            "formula",
            (rise,) if rise.value is None else (ambient,),
            rise.ask or "find out how warm the room gets",
        )
        return
    inside = float(ambient) + rise.value
    value = _on_the_line(points, inside)
    if value is None:
        least = next((rating for temperature, rating in points if temperature >= inside), None)
        more = f"; the maker's next warmer point still allows {least:g} A" if least else ""
        book.not_known(
            "device-current-when-warm",
            way.name,
            title,
            "I_w",
            "A",
            "formula",
            (way.rating_when_warm,),
            f"ask the maker for the rated current of {way.name} at {inside:.0f} °C: no two of its"
            f" points enclose it{more}",
        )
        return
    book.on_a_line(
        "device-current-when-warm",
        way.name,
        title,
        "I_w",
        value,
        "A",
        "the maker's points, a straight line between them",
        (way.rating_when_warm, rise, ambient),
        places=1,
        note=f"at {inside:.0f} °C inside",
    )


def _on_the_line(points: list[tuple[float, float]], at: float) -> float | None:
    for (cooler, more), (warmer, less) in zip(points, points[1:]):
        if cooler <= at <= warmer:
            return more + (less - more) * (at - cooler) / (warmer - cooler)
    return next((rating for temperature, rating in points if temperature == at), None)
