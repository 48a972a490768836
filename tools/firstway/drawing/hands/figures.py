"""Drawing, pictures for the hands: the figures they show, from the job and from the tables."""

from firstway.checks.devices import devices_of_board
from firstway.choosing.completing import Completed
from firstway.drawing.hands.frame import ShownFigure
from firstway.frozen import dataclass
from firstway.model.installation import MainSwitch, Terminals, Way
from firstway.model.values import is_known
from firstway.tables.reading import (
    Gap,
    Row,
    board_size_mm,
    column_word,
    conductor_diameter_mm,
)
from firstway.wiring.graph import Conductor

ASK_MAKER = "ask the maker"
_NOT_CLAMPED = ("bar", "armour")


@dataclass(frozen=True)
class TerminalFigures:
    """What the maker of a device states of its terminals, and the conductor that goes into them.

    Lengths in mm, sizes in mm². `strip_mm` is what is drawn; where the maker is silent it is a
    usual one, and the words of `strip` say that the maker must be asked.
    """

    device: str
    strip_mm: float
    strip: ShownFigure
    torque: ShownFigure
    size: ShownFigure
    ferrule: str
    csa_mm2: float
    outer_mm: float
    colour: str


def devices_with_terminals(job: Completed) -> tuple[MainSwitch | Way, ...]:
    """Every device of the board that has screws, from the main switch outward."""
    return tuple(
        device
        for device in devices_of_board(job.installation.board)
        if not isinstance(device, Way) or device.device != "blank"
    )


def terminal_figures(job: Completed, name: str) -> TerminalFigures | str:
    """The figures of a device's terminals; in words, why there are none."""
    device = next((each for each in devices_with_terminals(job) if each.name == name), None)
    if device is None:
        return f"no device with terminals is named '{name}'"
    line = _conductor_in(job, name)
    if line is None or line.csa_mm2 is None:
        return f"no conductor of known size ends at '{name}'"
    outer = conductor_diameter_mm("single-core", line.csa_mm2)
    if isinstance(outer, Gap):
        return f"no diameter is known for a conductor of {column_word(line.csa_mm2)} mm²"
    terminals = device.terminals
    stated = terminals if isinstance(terminals, Terminals) else None
    strip = _stated(stated.strip_mm if stated else None, "strip {} mm", f"strip: {ASK_MAKER}")
    torque = _stated(stated.torque_nm if stated else None, "{} N·m", f"torque: {ASK_MAKER}")
    if stated and not is_known(stated.torque_nm) and is_known(stated.torque_lbf_in):
        torque = _stated(stated.torque_lbf_in, "{} lbf·in", f"torque: {ASK_MAKER}")
    usual = board_size_mm("strip-length")
    assert not isinstance(usual, Gap)
    drawn = stated.strip_mm if stated and is_known(stated.strip_mm) else usual.value
    return TerminalFigures(
        name,
        drawn,
        strip,
        torque,
        ShownFigure(f"{column_word(line.csa_mm2)} mm²", "size of the conductor", line.path),
        stated.ferrule if stated and isinstance(stated.ferrule, str) else "",
        line.csa_mm2,
        outer.value,
        line.colour,
    )


def _conductor_in(job: Completed, device: str) -> Conductor | None:
    """The thickest conductor in the device's terminals, a line before a neutral."""
    wiring = job.case.wiring.drawn
    ends = {terminal.id for terminal in wiring.terminals_of(device)}
    found = [
        each
        for each in wiring.conductors
        if each.kind not in _NOT_CLAMPED and each.csa_mm2 and ends & {each.start, each.end}
    ]
    return max(
        found,
        key=lambda each: (each.function[:1] == "L", each.csa_mm2 or 0.0, each.id),
        default=None,
    )


def _stated(amount: object, words: str, else_words: str) -> ShownFigure:
    says = "as the maker states it"
    if isinstance(amount, float) or isinstance(amount, int):
        return ShownFigure(
            words.format(column_word(float(amount))), says, getattr(amount, "path", "")
        )
    return ShownFigure(else_words, "not stated")


def of_row(row: Row, column: str, words: str, says: str) -> ShownFigure:
    """A figure of a table; `words` holds {} for it."""
    return ShownFigure(words.format(row.text(column)), says, row=row)
