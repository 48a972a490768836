"""A source has surge protection of its own where its cables bring surges in.

Why: modules on a roof and their cables are a large loop under the sky, and the inverter stands
between them and the board. Whatever protects the board does nothing for the d.c. side, and little
for an inverter far from it. With a lightning protection system a part of the lightning current may
flow there: type 1.
A pass: fitted on both sides, of a type that suits. Advice: none, or type 2 beside a lightning
protection system. Not known: look, and ask the maker of the inverter; the board's device does not
speak for a source that feeds in at another board.
"""

from firstway.checks.rule import Case, Finding, Findings, Rule
from firstway.model.installation import OtherSource, Trade
from firstway.model.values import NONE, is_known, key_of

RULE = Rule(
    "source-surge",
    "A source is protected against surges on both sides",
    "BS 7671 443.4, 712.443, 712.534; IEC 60364-7-712 712.443, 712.534 (from memory)",
    "2018+A3:2024",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for source in case.each(case.installation.sources):
        if source.kind == "photovoltaic":
            yield _side(case, source, source.surge_dc, "d.c.")
        yield _side(case, source, source.surge_ac, "a.c.")


def _side(case: Case, source: OtherSource, fitted: Trade, side: str) -> Finding:
    of = source.name
    lightning = key_of(case.installation.premises, "lightning_protection")
    if fitted == NONE:
        return RULE.says(
            case,
            "advice",
            of,
            of,
            f"no surge protective device stands on the {side} side of {of}: assess it, and ask the"
            " maker of the inverter what it bears",
            "none",
            "type 2",
        )
    if not is_known(fitted):
        ask = f"which surge protective device stands on the {side} side of {of}; look"
        return RULE.does_not_know(case, of, of, ask)
    if fitted == "type-2" and not is_known(lightning):
        ask = f"whether a lightning protection system asks for type 1 on the {side} side of {of}"
        return RULE.does_not_know(case, of, of, f"{ask}; look", "type 1")
    if fitted == "type-2" and lightning is True:
        return RULE.says(
            case,
            "advice",
            of,
            of,
            f"type 2 stands on the {side} side of {of}, and the building has a lightning protection"
            " system: ask its designer whether type 1 must stand there",
            "type 2",
            "type 1",
        )
    if fitted == "at-the-board":
        doubt = _elsewhere(case, source)
        if doubt:
            return RULE.does_not_know(case, of, of, doubt, "type 2")
    words = "that of the board" if fitted == "at-the-board" else str(fitted).replace("-", " ")
    return RULE.passes(
        case, of, of, f"surge protection on the {side} side of {of}: {words}", words, "type 2"
    )


def _elsewhere(case: Case, source: OtherSource) -> str:
    """What is to be asked before the board's own device counts for a source; "" where it does."""
    job, at = case.installation, source.joined_at
    near = {"board", *(str(way.name) for way in job.board.ways)}
    near |= {str(point.name) for point in job.charging_points}
    if not is_known(at) or str(at) not in near:
        return (
            f"which surge protective device stands near {source.name}: it does not feed in at the"
            " board whose device is named; look where it does"
        )
    if not any(way.device == "spd" for way in job.board.ways):
        return (
            f"which surge protective device stands on the a.c. side of {source.name}: the board has"
            " none; look"
        )
    return ""
