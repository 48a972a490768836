"""Drawing, pictures for the hands: how a termination is made, right beside wrong."""

from dataclasses import replace

from firstway.choosing.completing import Completed
from firstway.drawing.hands.clamps import ClampedConductor, clamp_named, clamp_panel
from firstway.drawing.hands.figures import TerminalFigures, terminal_figures
from firstway.drawing.hands.frame import Made, Panel, sheet_of
from firstway.tables.reading import table

TOO_SHORT, TOO_LONG, NOT_HOME = 0.5, 1.6, 0.5
"""What was stripped in the wrong ones, and how far the end is from home: shares of the device's
own length.
"""


def clamp_of(figures: TerminalFigures) -> ClampedConductor:
    """The conductor of a device in its terminal, as it should be."""
    kind = "ferrule" if figures.ferrule == "always" else "stranded"
    rows = [row for row in table("ferrule").rows if row.number("csa_mm2") == figures.csa_mm2]
    collar = rows[0].text("collar_colour") if rows else "zw1"
    return ClampedConductor(
        figures.strip_mm, figures.csa_mm2, figures.outer_mm, kind, figures.colour, collar
    )


def clamp_picture(job: Completed, device: str) -> Made | str:
    """A rising clamp with its parts named, its strip length and torque."""
    figures = terminal_figures(job, device)
    if isinstance(figures, str):
        return figures
    of = clamp_of(figures)
    return sheet_of(
        f"A conductor in a rising clamp: {device}",
        "A terminal cut along the conductor. The screw turns in place and draws a cage up; the cage"
        " presses the copper from below against a fixed bar, which carries the current. The"
        f" insulation ends just before the clamp, no bare copper is outside. {device}:"
        f" {figures.strip.words}, {figures.torque.words}, conductor {figures.size.words}.",
        [
            Panel(
                clamp_named(of, figures.strip.words, figures.torque.words),
                None,
                f"{device}, conductor {figures.size.words}",
                f"Figures of {device}, as its maker states them, on the device or in its"
                " instructions. Another device has its own.",
                True,
            )
        ],
        (figures.strip, figures.torque, figures.size),
    )


def strip_length(job: Completed, device: str) -> Made | str:
    """The same clamp stripped to length, too short, too long, and not pushed home."""
    figures = terminal_figures(job, device)
    if isinstance(figures, str):
        return figures
    right = clamp_of(figures)
    strip = right.strip_mm
    return sheet_of(
        f"Stripped to length, and not: {device}",
        "The same terminal four times. Right: insulation up to the clamp, copper through the whole"
        " clamp to its stop. Wrong: stripped too short, so that the cage bites on insulation;"
        " stripped too long, so that bare copper stands outside; not pushed home, so that half the"
        f" clamp holds nothing. {device}: {figures.strip.words}.",
        [
            _right(
                right,
                f"{device}, {figures.strip.words}",
                f"Copper through the whole clamp, to its stop. The length is {device}'s own: on it"
                " or in its maker's instructions.",
            ),
            _wrong(
                replace(right, stripped_mm=strip * TOO_SHORT),
                "stripped too short",
                "The cage bites on insulation. It creeps, the joint heats.",
            ),
            _wrong(
                replace(right, stripped_mm=strip * TOO_LONG),
                "stripped too long",
                "Bare copper outside, where a finger or a strand reaches it.",
            ),
            _wrong(
                replace(right, short_of_stop_mm=strip * NOT_HOME),
                "not pushed home",
                "Half the clamp holds nothing; bare copper before it.",
            ),
        ],
        (figures.strip,),
    )


def below_the_cage(job: Completed, device: str) -> Made | str:
    """The conductor in the cage, and below it."""
    figures = terminal_figures(job, device)
    if isinstance(figures, str):
        return figures
    right = clamp_of(figures)
    return sheet_of(
        f"In the cage, and below it: {device}",
        "The same terminal twice. Right: the cage was opened fully, the conductor lies in it and is"
        " pressed against the bar. Wrong: the cage was half open, the conductor slipped below it;"
        " the screw reaches its torque and clamps nothing. A tooth of a bar can slip there too.",
        [
            _right(right, "", "Cage opened fully first; the copper lies in it."),
            _wrong(
                replace(right, below=True),
                "below the cage",
                "The screw clicks at its torque all the same. A pull shows it.",
            ),
        ],
    )


def conductor_kinds(job: Completed, device: str) -> Made | str:
    """Solid, stranded and fine-stranded conductors in one clamp, the fine one without a ferrule
    too.
    """
    figures = terminal_figures(job, device)
    if isinstance(figures, str):
        return figures
    right = replace(clamp_of(figures), kind="stranded")
    return sheet_of(
        f"Solid, stranded, fine strands: {device}",
        "The same terminal four times, the end of its conductor beside it. Right: a solid conductor"
        " (class 1 of IEC 60228) bare; a stranded one of few thick wires (class 2) bare, its"
        " strands together; many fine strands (class 5) in a ferrule, unless the maker of the"
        " terminal wants them bare. Wrong: fine strands without one, some of them bent back outside"
        " the clamp.",
        [
            _kind(replace(right, kind="solid"), "solid", "One wire: class 1 of IEC 60228. Bare."),
            _kind(
                right,
                "stranded",
                "Few thick wires: class 2. Bare, strands together, none cut, none soldered.",
            ),
            _kind(
                replace(right, kind="ferrule"),
                "fine strands",
                "Many thin wires: class 5, printed on drum or sheet. In a ferrule of its size,"
                " unless the terminal's maker wants them bare.",
            ),
            _kind(
                replace(right, kind="fine", strands_outside=3),
                "strands outside",
                "Less copper in the joint, loose strands near the next terminal.",
                False,
            ),
        ],
    )


def _kind(of: ClampedConductor, head: str, under: str, right: bool = True) -> Panel:
    return Panel(clamp_panel(of, end_on=True), right, head, under)


def _right(of: ClampedConductor, head: str, under: str) -> Panel:
    return Panel(clamp_panel(of), True, head, under)


def _wrong(of: ClampedConductor, head: str, under: str) -> Panel:
    return Panel(clamp_panel(of), False, head, under)
