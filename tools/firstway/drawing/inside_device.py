"""Drawing: what is inside a device of several poles: its symbol with every terminal named, for the
stage in which it is joined.
"""

from schemdraw.elements import Element

from firstway.choosing.completing import Completed
from firstway.drawing.more_symbols import FourPoleRcbo, FourPoleResidualDevice, SurgeConnection
from firstway.drawing.sheet import SMALLEST, Drawable, Group, Lettering, PlacedDrawing, Sheet
from firstway.drawing.svg import Drawn, drawn_from
from firstway.drawing.text_width import reserved_width
from firstway.model.installation import Way

SIDE, ABOVE = 30.0, 26.0
FOUR_POLES = {"rcbo": FourPoleRcbo, "rcd": FourPoleResidualDevice}


def inside_of(completed: Completed, name: str, prefix: str) -> Drawn | None:
    """The inside of a surge protective device, or of a residual current device of four poles; None
    for any other.
    """
    way = completed.installation.way(name)
    functions = [
        str(terminal.function) for terminal in completed.case.wiring.drawn.terminals_of(name)
    ]
    lines = tuple(line for line in ("L1", "L2", "L3") if line in functions)
    if way.device == "spd" and way.connection in ("CT1", "CT2") and "N" in functions and lines:
        return _drawn(
            completed,
            way,
            SurgeConnection(str(way.connection), len(lines)),
            (*lines, "N"),
            prefix,
            f"connection {way.connection}: "
            + (
                "from each live conductor, the neutral too, to earth"
                if way.connection == "CT1"
                else "from each line to the neutral, and one spark gap from the neutral to earth"
            ),
            "PE",
        )
    protected = (
        way.device == "rcd" or way.protected_poles == 3
    )  # the symbol bears a cross on each line, none on the neutral
    if (
        way.device in FOUR_POLES
        and len(lines) == 3
        and "N" in functions
        and way.switched_poles == 4
        and protected
    ):
        return _drawn(
            completed,
            way,
            FOUR_POLES[str(way.device)](),
            (*lines, "N"),
            prefix,
            "four poles on one link; one residual current sensor round all four conductors",
        )
    return None


def _drawn(
    completed: Completed,
    way: Way,
    symbol: Element,
    functions: tuple[str, ...],
    prefix: str,
    words: str,
    below: str = "",
) -> Drawn:
    box = symbol.get_bbox(transform=False, includetext=False)
    x, y = SIDE - box.xmin, ABOVE
    title = f"Inside {way.name}"
    pitch = 28.0 if way.device == "spd" else 16.0
    ends: list[Drawable] = [
        Lettering(x + pitch * place, y - 8, function, anchor="middle")
        for place, function in enumerate(functions)
    ]
    bottom = y - box.ymin
    if below:
        ends.append(
            Lettering(x + float(symbol.anchors["load"][0]), bottom + 17, below, anchor="middle")
        )
    else:
        ends += [
            Lettering(x + pitch * place, bottom + 17, function, anchor="middle")
            for place, function in enumerate(functions)
        ]
    width = max(x + box.xmax + SIDE, reserved_width(title, SMALLEST, True) + 2 * SIDE)
    description = (
        f"{title}: {words}. Terminals: {', '.join(functions)}{f'; {below}' if below else ''}."
    )
    sheet = Sheet(
        width,
        bottom + 26,
        (
            Group("symbol", (PlacedDrawing(symbol, x, y),), title, "symbol"),
            Group("terminals", tuple(ends)),
        ),
        title,
        description,
        "inside",
        data=(("installation", completed.installation.name),),
    )
    return drawn_from(sheet, prefix)
