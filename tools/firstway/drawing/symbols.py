"""Drawing: the symbol family: strokes plus named terminals, after IEC 60617.

Numbers such as 07-13-05 are those of the printed parts of IEC 60617 (1996), given from memory;
where no number is given it was not confirmed. Every symbol stands upright: `supply` at its top at
(0, 0), `load` below it; y runs down here and is turned over once, in `DrawnSymbol`. One unit is one
CSS pixel.
"""

from schemdraw.elements import Element
from schemdraw.segments import Segment, SegmentArc, SegmentCircle, SegmentPoly

from firstway.drawing.sheet import HAIR, LINE

CONTACT = 44.0  # length of every contact symbol, terminal to terminal
_FIXED, _PIVOT = 11.0, 33.0
_BLADE = (-10.0, 12.0)


class DrawnSymbol(Element):
    """Strokes and terminals in y-down coordinates; never inherits the direction of the element
    before.
    """

    def __init__(self, **terminals: tuple[float, float]) -> None:
        super().__init__()
        self.elmparams["theta"] = 0
        self.elmparams["lw"] = LINE
        for name, (x, y) in terminals.items():
            self.anchors[name] = (x, -y)

    def line(
        self,
        *points: tuple[float, float],
        lw: float = LINE,
        ls: str | None = None,
        ink: str | None = None,
    ) -> None:
        self.segments.append(Segment([(x, -y) for x, y in points], lw=lw, ls=ls, color=ink))

    def box(
        self,
        x: float,
        y: float,
        width: float,
        height: float,
        ls: str | None = None,
        fill: str | None = None,
        lw: float = LINE,
    ) -> None:
        corners = [(x, -y), (x + width, -y), (x + width, -y - height), (x, -y - height)]
        self.segments.append(SegmentPoly(corners, ls=ls, fill=fill, lw=lw))

    def disc(
        self, x: float, y: float, radius: float, fill: str | None = None, lw: float = LINE
    ) -> None:
        self.segments.append(SegmentCircle((x, -y), radius, fill=fill, lw=lw))

    def oval(
        self, x: float, y: float, width: float, height: float, first: float = 0, last: float = 360
    ) -> None:
        self.segments.append(SegmentArc((x, -y), width, height, theta1=first, theta2=last, lw=LINE))

    def contact(self, x: float = 0.0, top: float = 0.0, bottom: float = CONTACT) -> None:
        """A make contact, 07-02-01: fixed contact above, blade hinged below."""
        self.line((x, top), (x, top + _FIXED))
        self.line((x, bottom), (x, top + _PIVOT), (x + _BLADE[0], top + _BLADE[1]))


class Fuse(DrawnSymbol):
    """Fuse, general symbol, 07-21-01: the conductor runs through the body."""

    def __init__(self) -> None:
        super().__init__(supply=(0, 0), load=(0, CONTACT))
        self.box(-6, 9, 12, 26)
        self.line((0, 0), (0, CONTACT))


class CutOut(DrawnSymbol):
    """Service cut-out: the distributor's fuse (07-21-01) in its sealed housing; the seal is the
    small disc.
    """

    def __init__(self) -> None:
        super().__init__(supply=(0, 0), load=(0, 56), seal=(20, 48))
        self.box(-20, 4, 40, 48, ls="--", lw=HAIR)
        self.box(-6, 15, 12, 26)
        self.line((0, 0), (0, 56))
        self.disc(14, 46, 3, fill="ink")


class EnergyMeter(DrawnSymbol):
    """Watt-hour meter, 08-04-03: a square with the register band; the layout writes kWh in it."""

    def __init__(self) -> None:
        super().__init__(supply=(0, 0), load=(0, 56), words=(0, 38))
        self.line((0, 0), (0, 6))
        self.line((0, 50), (0, 56))
        self.box(-22, 6, 44, 44)
        self.line((-22, 16), (22, 16))


class Isolator(DrawnSymbol):
    """Disconnector (isolator), 07-13-06: a bar across the fixed contact."""

    def __init__(self) -> None:
        super().__init__(supply=(0, 0), load=(0, CONTACT))
        self.contact()
        self.line((-5, _FIXED), (5, _FIXED))


class SwitchDisconnector(DrawnSymbol):
    """Switch-disconnector, 07-13-08: bar and circle at the fixed contact; `poles` blades share one
    dashed link.
    """

    def __init__(self, poles: int = 1) -> None:
        super().__init__(supply=(0, 0), load=(0, CONTACT))
        self.contact()
        self.line((-5, _FIXED - 3), (5, _FIXED - 3))
        self.disc(0, _FIXED, 3, fill="paper")


class CircuitBreaker(DrawnSymbol):
    """Circuit-breaker, 07-13-05: a cross at the fixed contact."""

    def __init__(self) -> None:
        super().__init__(supply=(0, 0), load=(0, CONTACT))
        self.contact()
        self._cross(0)

    def _cross(self, x: float) -> None:
        self.line((x - 4, _FIXED - 4), (x + 4, _FIXED + 4))
        self.line((x - 4, _FIXED + 4), (x + 4, _FIXED - 4))


class ResidualCurrentDeviceSymbol(DrawnSymbol):
    """Residual current circuit-breaker: contact, summation transformer round the conductors, dashed
    trip link.

    After IEC 60617, number not confirmed.
    """

    def __init__(self) -> None:
        super().__init__(supply=(0, 0), load=(0, 56))
        self.contact(bottom=56)
        _trip(self, 0, 9)


class Rcbo(CircuitBreaker):
    """Residual current circuit-breaker with overcurrent protection.

    The cross stands on the protected pole only. `neutral`: "switched" draws a second blade on the
    same link, "solid" a plain conductor through the device, "none" nothing. After IEC 60617, number
    not confirmed.
    """

    def __init__(self, neutral: str = "switched") -> None:
        DrawnSymbol.__init__(self, supply=(0, 0), load=(0, 56), neutral=(16, 56))
        self.contact(bottom=56)
        self._cross(0)
        if neutral == "switched":
            self.contact(16, bottom=56)
            self.line((-5, 22.5), (11, 22.5), lw=HAIR, ls="--")
        elif neutral == "solid":
            self.line((16, 0), (16, 56))
        _trip(self, 8 if neutral != "none" else 0, 16 if neutral != "none" else 9)


def _trip(symbol: DrawnSymbol, x: float, reach: float) -> None:
    """Summation transformer and the dashed link to the blade."""
    symbol.oval(x, 44, 2 * reach, 9)
    symbol.line((x - reach, 44), (-18, 44), (-18, 22.5), (-5, 22.5), lw=HAIR, ls="--")


class ContactorSymbol(DrawnSymbol):
    """Contactor, make main contact, 07-13-02: a half circle at the fixed contact."""

    def __init__(self) -> None:
        super().__init__(supply=(0, 0), load=(0, CONTACT))
        self.contact()
        self.oval(0, _FIXED - 3.5, 7, 7, 90, 270)


class VaristorSymbol(DrawnSymbol):
    """Surge protective device with a varistor: a box with the voltage-dependent slash (04-01-04 for
    the varistor).
    """

    def __init__(self) -> None:
        super().__init__(supply=(0, 0), load=(0, CONTACT))
        varistor_strokes(self, 8)
        self.line((0, 0), (0, 8))
        self.line((0, 36), (0, CONTACT))


class SparkGap(DrawnSymbol):
    """Surge protective device with a spark gap, 07-22-01 in a box: two arrow heads that face each
    other.
    """

    def __init__(self) -> None:
        super().__init__(supply=(0, 0), load=(0, CONTACT))
        spark_gap_strokes(self, 8)
        self.line((0, 0), (0, 12))
        self.line((0, 32), (0, CONTACT))


class SurgeDevice(DrawnSymbol):
    """Surge protective device by connection type.

    CT1: each live conductor through its varistor to earth. CT2 ("3+1", "1+1"): varistors to
    neutral, one spark gap from neutral to earth; `neutral` is the terminal between them. After IEC
    60617, number not confirmed.
    """

    def __init__(self, connection: str = "CT1") -> None:
        bottom = 80.0 if connection == "CT2" else CONTACT
        super().__init__(supply=(0, 0), load=(0, bottom), neutral=(24, 40))
        varistor_strokes(self, 8)
        self.line((0, 0), (0, 8))
        if connection == "CT2":
            self.line((0, 36), (0, 48))
            self.line((0, 40), (24, 40))
            self.disc(0, 40, 2, fill="ink")
            spark_gap_strokes(self, 44)
            self.line((0, 68), (0, bottom))
        else:
            self.line((0, 36), (0, bottom))


def varistor_strokes(symbol: DrawnSymbol, top: float) -> None:
    symbol.box(-7, top, 14, 28)
    symbol.line((-14, top + 25), (-9, top + 25), (10, top + 3))


def spark_gap_strokes(symbol: DrawnSymbol, top: float) -> None:
    symbol.box(-7, top, 14, 28)
    for tip, tail in ((top + 11.5, top + 4), (top + 16.5, top + 24)):
        symbol.line((0, top if tail < tip else top + 28), (0, tip))
        symbol.line((-3.5, tail), (0, tip), (3.5, tail))


class EarthElectrode(DrawnSymbol):
    """Earth, general symbol, 02-15-01; the thick line down is the rod."""

    def __init__(self, rods: int = 1) -> None:
        super().__init__(supply=(0, 0))
        self.line((0, 0), (0, 14))
        for width, y in ((11, 14), (7, 18), (3, 22)):
            self.line((-width, y), (width, y))


class ProtectiveEarth(DrawnSymbol):
    """Protective earth, 02-15-03: earth in a circle. Used for the main earthing terminal."""

    def __init__(self) -> None:
        super().__init__(supply=(0, 0), left=(-12, 12), right=(12, 12), load=(0, 24))
        self.disc(0, 12, 12, fill="paper")
        self.line((0, 0), (0, 10))
        for width, y in ((7, 10), (4.5, 13.5), (2, 17)):
            self.line((-width, y), (width, y))


class PenSplit(DrawnSymbol):
    """The point where PEN becomes N and PE: a junction; `earth` is the protective conductor's
    terminal.
    """

    def __init__(self) -> None:
        super().__init__(supply=(0, 0), load=(0, 0), earth=(-14, 0))
        self.line((0, 0), (-14, 0))
        self.disc(0, 0, 2.6, fill="ink")


class SourceSymbol(DrawnSymbol):
    """Two-winding transformer, 06-09-01: the distributor's source; `star` is its star point."""

    def __init__(self) -> None:
        super().__init__(supply=(0, 0), load=(0, 44), star=(-13, 27))
        self.disc(0, 14, 13)
        self.disc(0, 31, 13)


class CurrentTransformer(DrawnSymbol):
    """Current transformer, 06-09-10: a ring round the conductor, its secondary to the left."""

    def __init__(self) -> None:
        super().__init__(supply=(0, 0), signal=(-30, 0))
        self.disc(0, 0, 8)
        self.line((-8, 0), (-30, 0), lw=HAIR)
        for x in (-20, -15):
            self.line((x - 2, 4), (x + 2, -4), lw=HAIR)


class ConductorStrokes(DrawnSymbol):
    """How many conductors a line stands for: a stroke each; N with a dot (11-11-01), PE with a bar
    (11-11-02), PEN with both (11-11-03).
    """

    def __init__(self, functions: tuple[str, ...]) -> None:
        super().__init__(supply=(0, 0))
        gap = 7.0
        top = -gap * (len(functions) - 1) / 2
        for index, function in enumerate(functions):
            y = top + index * gap
            self.line((-8, y + 4), (8, y - 4))
            if function in ("N", "PEN"):
                self.disc(8, y - 4, 2.3, fill="ink")
            if function in ("PE", "PEN"):
                self.line((-9.6, y + 0.8), (-6.4, y + 7.2))


class CableSheath(DrawnSymbol):
    """A cable round the line: two sheath lines; armour is the dashed pair outside them. After IEC
    60617, number not confirmed.
    """

    def __init__(self, length: float, armoured: bool) -> None:
        super().__init__(supply=(0, 0), load=(0, length))
        for side in (-1, 1):
            self.line((5.5 * side, 4), (5.5 * side, length - 4), lw=HAIR)
            if armoured:
                self.line((9 * side, 4), (9 * side, length - 4), lw=HAIR, ls="--")


class OpenPenDevice(DrawnSymbol):
    """Device that opens when the combined conductor is lost: a box with a contact. No standard
    symbol; our own.
    """

    def __init__(self) -> None:
        super().__init__(supply=(0, 0), load=(0, CONTACT), sense=(-14, 22))
        self.box(-14, 2, 28, 40)
        self.line((0, 0), (0, 12))
        self.line((0, CONTACT), (0, 32), (-8, 14))
        self.line((-11, 36), (-5, 36), lw=HAIR)
        self.line((-8, 36), (-8, 30), lw=HAIR)


class VehicleInlet(DrawnSymbol):
    """Vehicle connector and inlet: plug and socket, 03-03-05, contacts engaged."""

    def __init__(self) -> None:
        super().__init__(supply=(0, 0), load=(0, 26))
        self.line((0, 0), (0, 8))
        self.oval(0, 14, 16, 12, 0, 180)
        self.box(-2.2, 10, 4.4, 10, fill="ink")
        self.line((0, 20), (0, 26))


class OnBoardCharger(DrawnSymbol):
    """Rectifier, 06-14-03: alternating current in, direct current out."""

    def __init__(self) -> None:
        super().__init__(supply=(0, 0), load=(0, 40))
        self.box(-18, 0, 36, 36)
        self.line((-18, 36), (18, 0))
        self.oval(-11.5, 9, 7, 7, 0, 180)
        self.oval(-4.5, 9, 7, 7, 180, 360)
        self.line((2, 26), (13, 26))
        self.line((2, 30), (13, 30), ls=":")


FAMILY: dict[str, type[DrawnSymbol]] = {
    "fuse": Fuse,
    "cut-out": CutOut,
    "energy meter": EnergyMeter,
    "isolator": Isolator,
    "switch-disconnector": SwitchDisconnector,
    "circuit-breaker": CircuitBreaker,
    "residual current device": ResidualCurrentDeviceSymbol,
    "RCBO": Rcbo,
    "contactor": ContactorSymbol,
    "surge protective device": SurgeDevice,
    "varistor": VaristorSymbol,
    "spark gap": SparkGap,
    "earth electrode": EarthElectrode,
    "main earthing terminal": ProtectiveEarth,
    "PEN split": PenSplit,
    "source": SourceSymbol,
    "current transformer": CurrentTransformer,
    "open-PEN device": OpenPenDevice,
    "vehicle inlet": VehicleInlet,
    "on-board charger": OnBoardCharger,
}
