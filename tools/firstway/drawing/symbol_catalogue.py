"""Drawing: every symbol alone, with its name, the number its docstring states, and where it is
used.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass

from schemdraw.elements import Element

from firstway.drawing import more_symbols as more
from firstway.drawing import symbols as one
from firstway.drawing.sheet import Drawable, Group, Lettering, PlacedDrawing, Sheet, Stroke
from firstway.drawing.svg import Drawn, drawn_from

_WIDTH, _HEIGHT = 150.0, 124.0
NOT_CONFIRMED = "number not confirmed"
_NUMBER = re.compile(r"\b\d\d-\d\d-\d\d\b")
SINGLE_LINE, BESIDE = "in the single-line drawing", "in the single-line drawing, across its line"
PART, FITTING = (
    "as part of the surge protection beside it",
    "on the page of fitting, by the device; a single-line drawing shows one line for all",
)


@dataclass(frozen=True)
class ShownSymbol:
    """One symbol of the catalogue; `words` are written in it by the layout."""

    name: str
    make: Callable[[], Element]
    used: str
    words: tuple[tuple[str, str], ...] = ()
    only: tuple[str, ...] | None = None  # which of its docstring's numbers are meant

    @property
    def id(self) -> str:
        return re.sub(r"[^a-z0-9]+", "-", self.name.lower()).strip("-")

    @property
    def about(self) -> str:
        """What the symbol is: the first paragraph of its docstring."""
        return " ".join((type(self.make()).__doc__ or "").split("\n\n")[0].split())

    @property
    def numbers(self) -> tuple[str, ...]:
        """The numbers of IEC 60617 its docstring states."""
        found = tuple(dict.fromkeys(_NUMBER.findall(type(self.make()).__doc__ or "")))
        return (
            found if self.only is None else tuple(number for number in found if number in self.only)
        )


GROUPS: tuple[tuple[str, tuple[ShownSymbol, ...]], ...] = (
    (
        "Supply and metering",
        (
            ShownSymbol("source", one.SourceSymbol, SINGLE_LINE),
            ShownSymbol("cut-out", one.CutOut, SINGLE_LINE),
            ShownSymbol("fuse", one.Fuse, SINGLE_LINE),
            ShownSymbol("energy meter", one.EnergyMeter, SINGLE_LINE, (("words", "kWh"),)),
            ShownSymbol(
                "current transformer",
                one.CurrentTransformer,
                "as part of the load limiter beside it",
            ),
            ShownSymbol(
                "load limiter with current transformer", more.LoadLimiterSymbol, SINGLE_LINE
            ),
        ),
    ),
    (
        "Switching and protection",
        (
            ShownSymbol("isolator", one.Isolator, SINGLE_LINE),
            ShownSymbol("switch-disconnector", one.SwitchDisconnector, SINGLE_LINE),
            ShownSymbol("contactor", one.ContactorSymbol, SINGLE_LINE),
            ShownSymbol("circuit-breaker", one.CircuitBreaker, SINGLE_LINE),
            ShownSymbol("residual current device", one.ResidualCurrentDeviceSymbol, SINGLE_LINE),
            ShownSymbol(
                "residual current device, four poles", more.FourPoleResidualDevice, FITTING
            ),
            ShownSymbol(
                "RCBO, one protected pole, neutral switched",
                lambda: one.Rcbo("switched"),
                SINGLE_LINE,
            ),
            ShownSymbol(
                "RCBO, one protected pole, neutral not switched",
                lambda: one.Rcbo("solid"),
                SINGLE_LINE,
            ),
            ShownSymbol("RCBO, three lines and neutral", more.FourPoleRcbo, FITTING),
            ShownSymbol("bar", more.Bar, SINGLE_LINE),
        ),
    ),
    (
        "Surge protection",
        (
            ShownSymbol("varistor", one.VaristorSymbol, PART),
            ShownSymbol("spark gap", one.SparkGap, PART),
            ShownSymbol("surge protection CT1", lambda: one.SurgeDevice("CT1"), SINGLE_LINE),
            ShownSymbol("surge protection CT2", lambda: one.SurgeDevice("CT2"), SINGLE_LINE),
            ShownSymbol(
                "surge protection CT1, one phase", lambda: more.SurgeConnection("CT1", 1), FITTING
            ),
            ShownSymbol(
                "surge protection CT2, one phase", lambda: more.SurgeConnection("CT2", 1), FITTING
            ),
            ShownSymbol(
                "surge protection CT1, three phases",
                lambda: more.SurgeConnection("CT1", 3),
                FITTING,
            ),
            ShownSymbol(
                "surge protection CT2, three phases",
                lambda: more.SurgeConnection("CT2", 3),
                FITTING,
            ),
        ),
    ),
    (
        "Earthing",
        (
            ShownSymbol("earth electrode", one.EarthElectrode, SINGLE_LINE),
            ShownSymbol("main earthing terminal", one.ProtectiveEarth, SINGLE_LINE),
            ShownSymbol("PEN split", one.PenSplit, SINGLE_LINE),
        ),
    ),
    (
        "Conductors and cables",
        (
            ShownSymbol("conductors: line", lambda: one.ConductorStrokes(("L1",)), BESIDE, only=()),
            ShownSymbol(
                "conductors: neutral",
                lambda: one.ConductorStrokes(("N",)),
                BESIDE,
                only=("11-11-01",),
            ),
            ShownSymbol(
                "conductors: protective",
                lambda: one.ConductorStrokes(("PE",)),
                BESIDE,
                only=("11-11-02",),
            ),
            ShownSymbol(
                "conductors: protective and neutral in one (PEN)",
                lambda: one.ConductorStrokes(("PEN",)),
                BESIDE,
                only=("11-11-03",),
            ),
            ShownSymbol(
                "conductors: three lines, neutral, protective",
                lambda: one.ConductorStrokes(("L1", "L2", "L3", "N", "PE")),
                BESIDE,
                only=("11-11-01", "11-11-02"),
            ),
            ShownSymbol("cable", lambda: one.CableSheath(56.0, False), SINGLE_LINE),
            ShownSymbol("armoured cable", lambda: one.CableSheath(56.0, True), SINGLE_LINE),
        ),
    ),
    (
        "Charging",
        (
            ShownSymbol("open-PEN device", one.OpenPenDevice, SINGLE_LINE),
            ShownSymbol("vehicle inlet", one.VehicleInlet, SINGLE_LINE),
            ShownSymbol("on-board charger", one.OnBoardCharger, SINGLE_LINE),
            ShownSymbol("current either way", more.BothWays, BESIDE),
        ),
    ),
    (
        "Other sources",
        (
            ShownSymbol("changeover", more.Changeover, SINGLE_LINE),
            ShownSymbol("inverter", more.Inverter, SINGLE_LINE),
            ShownSymbol("generating set", more.Generator, SINGLE_LINE, (("words", "G"),)),
            ShownSymbol("photovoltaic modules", more.PhotovoltaicModules, SINGLE_LINE),
            ShownSymbol("battery", more.Battery, SINGLE_LINE),
        ),
    ),
)


def number_words(shown: ShownSymbol) -> str:
    """The number a reader can look up, or that none was confirmed."""
    return ", ".join(shown.numbers) if shown.numbers else NOT_CONFIRMED


def symbol_drawing(shown: ShownSymbol, prefix: str = "") -> Drawn:
    """The symbol alone, in the middle of a sheet of the same size for all."""
    element = shown.make()
    box = element.get_bbox(transform=False, includetext=False)
    x, y = _WIDTH / 2 - (box.xmin + box.xmax) / 2, _HEIGHT / 2 + (box.ymin + box.ymax) / 2
    items: list[Drawable] = [PlacedDrawing(element, x, y)]
    for terminal, words in shown.words:
        dx, dy = element.anchors[terminal]
        items.append(Lettering(x + dx, y - dy + 4, words, anchor="middle"))
    if isinstance(element, (one.ConductorStrokes, one.CableSheath, one.PenSplit)):
        items.insert(0, Stroke(((x, y - box.ymax - 16), (x, y - box.ymin + 16))))
    sheet = Sheet(
        _WIDTH,
        _HEIGHT,
        (Group("symbol", tuple(items), shown.name, "symbol"),),
        f"Symbol: {shown.name}",
        f"{shown.name}: {shown.about}",
        "symbol",
    )
    return drawn_from(sheet, prefix or f"symbol-{shown.id}")
