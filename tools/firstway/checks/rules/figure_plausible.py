"""A figure is one that such a thing can have.

Why: 0.03 where a key counts in milliampere, 19 where it counts in millimetre: a prefix or a comma
slipped, and what is worked from it is ten or a thousand times wrong. What no device can have is
refused when the file is read; what hardly any has is asked about here.
Advice: an enclosure 19 mm wide, a torque of 35 Nm, a rod of 0.085 Ω, a device of 40 A said to carry
400 A when warm. It never passes: a figure that could be true is not thereby the right one.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.model.installation import Way
from firstway.model.unusual_figures import Unusual, unusual_figures
from firstway.model.values import is_known

RULE = Rule(
    "figure-plausible",
    "Figures are such as things have",
    "common practice; product standards bound each",
    "",
    "advice",
    ("bs7671", "iec60364", "nec"),
)
# Of its rating, from deep frost to the hottest board: makers' points lie within.
WARM_SHARES = (0.4, 1.5)
# Sections whose parts have names; the others are spoken of by the name of the section.
_NAMED = ("circuits", "charging_points", "electrodes", "vehicles", "existing_boards")


def check(case: Case) -> Findings:
    for figure in unusual_figures(case.installation):
        of = _part(figure.path)
        low, high = figure.usual
        limit = low if figure.value < low else high
        yield RULE.says(case, "advice", of, of, _message(figure), figure.value, limit, figure.unit)
    for way in case.each(case.installation.board.ways):
        yield from _when_warm(case, way)


def _when_warm(case: Case, way: Way) -> Findings:
    """What the maker's points say of a warm device, beside its rating: the warmer, the less, and
    near the rating.
    """
    if not is_known(way.rating_a):
        return
    name, rating = way.name, float(way.rating_a)
    points = sorted(way.rating_when_warm, key=lambda point: float(point.ambient_c))
    for point in points:
        low, high = (share * rating for share in WARM_SHARES)
        if not low <= float(point.rating_a) <= high:
            yield RULE.says(
                case,
                "advice",
                name,
                name,
                f"at {point.ambient_c:g} °C the device is said to carry {point.rating_a:g} A,"
                f" and is rated {rating:g} A: look at the figure and its comma again",
                float(point.rating_a),
                low if point.rating_a < low else high,
                "A",
            )
            return
    for cooler, warmer in zip(points, points[1:]):
        if warmer.rating_a > cooler.rating_a:
            yield RULE.says(
                case,
                "advice",
                name,
                name,
                f"the device is said to carry more at {warmer.ambient_c:g} °C than at"
                f" {cooler.ambient_c:g} °C: look at the maker's points again",
                float(warmer.rating_a),
                float(cooler.rating_a),
                "A",
            )
            return


def _message(figure: Unusual) -> str:
    """What to look at again; the figure itself stands beside it."""
    key = figure.path.rpartition(".")[2]
    less = "less" if figure.value < figure.usual[0] else "more"
    guess = "look at the figure and its unit again"
    if figure.meant is not None:
        guess = f"did you mean {figure.meant:g}?"
    return f"`{key}` is {figure.value:g}, {less} than such things have: {guess} ({figure.path})"


def _part(path: str) -> str:
    """The named part a path lies in.

    >>> _part("board.ways.F2.rating_a")
    'F2'
    >>> _part("board.enclosure.width_mm")
    'board'
    >>> _part("circuits.yard.lines")
    'yard'
    """
    first, *more = path.split(".")
    if first in _NAMED:
        return more[0]
    if first == "board" and more[0] == "ways":
        return more[1]
    return "supply" if first == "existing_load" else first
