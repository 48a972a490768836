"""The residual current device of an inverter sees the direct current it may bring.

Why: a fault on the d.c. side of an inverter without separation drives smooth direct current through
the residual current device. Type A is blinded by it and no longer opens for anybody. Type B is
asked for unless the inverter parts both sides by at least simple separation, or its maker declares
a milder type.
A pass: type B, separation, a type its maker allows, or no such device in its path. A fail: a milder
type than its maker declares, or a milder one than B where neither separates nor declares. Not
known: ask the maker. Nothing is asked of a generating set that turns.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.model.installation import RESIDUAL_TYPES, Installation, OtherSource, Trade
from firstway.model.values import NONE, UNDECLARED, is_known

RULE = Rule(
    "source-residual-type",
    "The residual current device of an inverter sees direct current",
    "BS 7671 551.7.1, 712.411.3.2.1.2; IEC 60364-7-712 712.411.3.2.1.2 (from memory)",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for source in case.each(case.installation.sources):
        if source.kind != "generator":
            yield from _of(case, source, type_in_its_path(case.installation, source))


def type_in_its_path(job: Installation, source: OtherSource) -> Trade:
    """Type of the way it feeds in by, where that is a residual current device of the board; else as
    the source states it.
    """
    for way in job.board.ways:
        circuit = next((each for each in job.circuits if each.name == way.feeds), None)
        points = {point.name for point in job.points_of(circuit)} if circuit else set()
        if source.joined_at in {way.name, *points} and way.device in ("rcbo", "rcd"):
            return way.residual_type
    return source.residual_type


def _of(case: Case, source: OtherSource, found: Trade) -> Findings:
    of, declared = source.name, source.residual_type_declared
    rank = RESIDUAL_TYPES.index
    held = f"type {found}" if is_known(found) else "none"
    passes = lambda words: RULE.passes(case, of, of, words, held, "type B")
    if found == NONE:
        yield passes(f"{of} feeds in through no residual current device")
    elif not is_known(found):
        ask = f"which type of residual current device {of} feeds in through; read it on the device"
        yield RULE.does_not_know(case, of, of, ask, "type B")
    elif found == "B":
        yield passes("type B sees direct current")
    elif is_known(declared):
        yield RULE.decides(
            case,
            of,
            of,
            rank(str(found)) >= rank(str(declared)),
            found=held,
            wanted=f"type {declared}",
            holds=f"the maker of {of} declares type {declared} to be enough",
            breaks=f"the maker of {of} asks for type {declared}: type {found} may be blinded",
            held=held,
        )
    elif source.simple_separation is True:
        yield passes(f"{of} parts a.c. from d.c. by at least simple separation")
    elif source.simple_separation is False and declared == UNDECLARED:
        yield RULE.says(
            case,
            "fail",
            of,
            of,
            f"{of} does not separate, and its maker allows no milder type than B",
            held,
            "type B",
        )
    else:
        yield RULE.does_not_know(
            case,
            of,
            of,
            f"which residual current device suits {of}: ask its maker for the type, and whether it"
            " parts a.c. from d.c.",
            "type B",
        )
