"""Drawing, pictures for the hands: what a job gives to the pictures of its tests: a circuit with
its board and point, what the list of tests foretells, and the words of its rule set.
"""

from dataclasses import replace

from firstway.calculations.adding import added
from firstway.checks.expected import Bench, Expected, live_names
from firstway.checks.expecting import expected_readings
from firstway.choosing.completing import Completed
from firstway.drawing.hands import hook_up_parts as parts
from firstway.drawing.hands.frame import Made, ShownFigure
from firstway.drawing.hands.hook_up_parts import SeenBoard, SeenPoint
from firstway.drawing.sheet import Lettering
from firstway.frozen import dataclass
from firstway.layout.plan import Layout
from firstway.model.installation import ChargingPoint, Circuit
from firstway.model.nec_words import in_nec_words
from firstway.model.values import is_known
from firstway.rendering.figures import FINE_UP_TO_OHM, with_unit
from firstway.rendering.reading_words import shown_words
from firstway.tables.reading import column_word
from firstway.wiring.readings import READING_NOT_KNOWN, ShownReading


@dataclass(frozen=True)
class OfCircuit:
    """A circuit with what its tests are drawn from."""

    job: Completed
    bench: Bench
    layout: Layout
    circuit: Circuit
    point: ChargingPoint
    way: str

    @property
    def earth(self) -> str:
        return parts.earth_letter(str(self.job.installation.rules))

    @property
    def seen_point(self) -> SeenPoint:
        names = (*live_names(self.circuit), "PE")
        wiring = self.job.case.wiring.drawn
        colour = {each.id: each.colour for each in wiring.conductors}
        letters = tuple(self.earth if name == "PE" else name for name in names)
        return SeenPoint(
            letters, tuple(colour.get(f"{self.circuit.name}.{name}", "bare") for name in names)
        )

    @property
    def length(self) -> ShownFigure:
        """How long the cable is, as the route of the file says."""
        metres = added(float(each.length_m) for each in self.circuit.route)
        return ShownFigure(
            f"cable, {metres:g} m", "length of the route", f"circuits.{self.circuit.name}.route"
        )

    @property
    def size(self) -> ShownFigure | None:
        """How thick line and protective conductor are, so that a reading can be worked by hand;
        None where the protective conductor is no core, or a size is not known.
        """
        cable = self.circuit.cable
        if cable.protective == "armour" or not (
            is_known(cable.csa_mm2) and is_known(cable.cpc_mm2)
        ):
            return None
        return ShownFigure(
            f"line {column_word(float(cable.csa_mm2))} mm²,"
            f" {self.earth} {column_word(float(cable.cpc_mm2))} mm²",
            "size of the conductors",
            f"circuits.{self.circuit.name}.cable",
        )

    @property
    def cores(self) -> tuple[str, ...]:
        """The conductors of the circuit, and those of the surge device, which stay on its base."""
        own = (f"{self.circuit.name}.{name}" for name in (*live_names(self.circuit), "PE"))
        ends = tuple(f".{each}" for each in self.surge)
        return (*own, *(each for each in self.layout.by_id if ends and each.endswith(ends)))

    @property
    def second_lead(self) -> str:
        """A lead that no conductor of the board looks like: white is the neutral's in rule set
        nec.
        """
        return parts.BROKEN if self.job.installation.rules == "nec" else parts.LIGHT

    @property
    def surge(self) -> tuple[str, ...]:
        ways = self.job.installation.board.ways
        return tuple(str(each.name) for each in ways if each.device == "spd")

    @property
    def every_device(self) -> frozenset[str]:
        """Dead work has nothing left on."""
        return frozenset(each.name for each in self.layout.parts.devices)

    @property
    def main_switch(self) -> tuple[str, ...]:
        switch = self.job.installation.board.main_switch
        return (str(switch.name),) if is_known(switch) else ()


def of_circuit(job: Completed, name: str) -> OfCircuit | str:
    """A circuit by its name; in words, why its tests cannot be drawn."""
    circuits = {str(each.name): each for each in job.installation.circuits}
    if name not in circuits:
        return f"no circuit is named '{name}'"
    if job.case.plan.refused:
        return f"the board cannot be laid out: {job.case.plan.refused}"
    points = job.installation.points_of(circuits[name])
    if not points:
        return f"no charging point hangs on '{name}'"
    bench = Bench(job.case, job.case.circuit)
    way = str(bench.way(circuits[name]).name)
    return OfCircuit(job, bench, job.case.layout, circuits[name], points[0], way)


def foretold(job: Completed, key: str, of: str, *between: str) -> Expected | None:
    """The first line of the list of tests with this key."""
    return next(
        (
            each
            for each in expected_readings(job.case)
            if each.key == key and each.of == of and (not between or each.between == between)
        ),
        None,
    )


def foretold_figure(line: Expected) -> ShownFigure:
    """What the instrument shows of a line, and where that comes from."""
    path = f"{line.step} {line.of}" if line.step else f"{line.key} {line.of}"
    return ShownFigure(display(line.shown), f"foretold: {line.test}", path)


def display(shown: ShownReading) -> str:
    """A reading as short as a picture says it."""
    if shown.words == READING_NOT_KNOWN:
        return "measure"
    return shown_words(shown).replace("at most ", "≤ ").replace("about ", "≈ ")


def in_window(shown: ShownReading) -> str:
    """What stands in the window of an instrument: hundredths of an ohm, for ohmmeters and loop
    testers need show no finer step (IEC 61557, from memory); the foretold figure is finer.
    """
    if shown.value is None or shown.unit != "ohm" or shown.value >= FINE_UP_TO_OHM:
        return display(shown)
    mark = "≈ " if shown.about else ""
    return mark + with_unit(f"{shown.value:.2f}", "Ω")


def spoken(job: Completed, text: str) -> str:
    """Words that are given room while the sheet is made, in those of the rule set."""
    return in_nec_words(text) if job.installation.rules == "nec" else text


def _short(text: str) -> str:
    """The sign of dead work, which has one line's room in every rule set."""
    return in_nec_words(text.replace("Isolated at its origin", "Isolated"))


def finished(job: Completed, made: Made) -> Made:
    """In the words of the job's rule set."""
    if job.installation.rules != "nec":
        return made
    sheet = made.sheet
    groups = tuple(
        replace(
            each,
            title=in_nec_words(each.title),
            items=tuple(
                replace(item, words=_short(item.words)) if isinstance(item, Lettering) else item
                for item in each.items
            ),
        )
        for each in sheet.groups
    )
    said = in_nec_words(sheet.title), in_nec_words(sheet.description)
    return replace(made, sheet=replace(sheet, groups=groups, title=said[0], description=said[1]))


def of_board(of: OfCircuit) -> SeenBoard:
    return parts.seen_board(of.job, of.layout)


def free_screw(of: OfCircuit) -> str:
    """The last screw of the earth bar: the first ones are taken."""
    return [each for each in of.layout.parts.spots if each.startswith("earth-bar.")][-1]
