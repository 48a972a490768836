"""While the network is lost, the installation has an earth and an earthed neutral of its own.

Why: the network's earth cannot be relied on when the network is lost, and it may be what was lost.
Without an electrode of the installation metal has no earth; without the neutral joined to earth no
fault current flows back to the source, so no residual current device opens. The join is made only
while the source feeds alone: two joins make a path for neutral current in the protective
conductors.
A pass: the source stops with the network, or both are there. Danger: it feeds alone without one of
them. Not known: ask who designs the source.
"""

from firstway.checks.rule import Case, Finding, Findings, Rule, if_known
from firstway.model.installation import OtherSource
from firstway.model.values import NONE, is_known

RULE = Rule(
    "source-earthing-alone",
    "A source that feeds alone has its own earth and earthed neutral",
    "BS 7671 551.4.3.2; IEC 60364-5-55 551.4.3.2, IEC 60364-8-82 (from memory)",
    "2018+A3:2024",
    "danger",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for source in case.each(case.installation.sources):
        of = source.name
        if source.works_without_network is False:
            yield RULE.passes(case, of, of, f"{of} stops with the network", "stops", "stops")
        elif source.works_without_network is not True:
            yield RULE.does_not_know(
                case, of, of, f"whether {of} can feed while the network is lost; ask its maker"
            )
        else:
            yield from _alone(case, source)


def _alone(case: Case, source: OtherSource) -> Findings:
    of, electrode, installation = source.name, source.electrode, case.installation
    yield RULE.decides(
        case,
        of,
        of,
        True if is_known(electrode) else False if electrode == NONE else None,
        found="none",
        wanted="an electrode of the installation",
        holds=f"{electrode} earths the installation while {of} feeds alone",
        breaks=f"while {of} feeds alone nothing but the network's earth is there, and that may be"
        " lost too",
        ask=f"which electrode earths the installation while {of} feeds alone; ask who designs it",
    )
    measured = installation.electrode(str(electrode)) if is_known(electrode) else None
    if measured is not None and not is_known(measured.resistance_ohm):
        yield RULE.does_not_know(
            case,
            of,
            measured.name,
            f"the resistance of {measured.name}, which earths the installation while {of} feeds"
            " alone; measure it",
            unit="ohm",
        )
    yield _neutral(case, source)
    switch = source.neutral_earth_switch
    yield RULE.decides(
        case,
        of,
        of,
        if_known(switch is True, switch),
        found="not joined",
        wanted="joined while it feeds alone",
        holds=f"the neutral is joined to earth while {of} feeds alone, and only then",
        breaks=f"while {of} feeds alone its neutral is not joined to earth: no residual current"
        " device opens an earth fault",
        ask=f"whether the neutral is joined to earth while {of} feeds alone, and only then; ask its"
        " maker",
    )


def _neutral(case: Case, source: OtherSource) -> Finding:
    """Only a changeover that opens it parts the neutral: a source that leaves a lost network by
    itself lets go of the lines alone.
    """
    of = source.name
    if source.changeover is True and source.changeover_neutral is True:
        return RULE.passes(
            case, of, of, f"the changeover parts the neutral of the network from {of}", "parted"
        )
    if source.changeover is True and source.changeover_neutral is False:
        return RULE.says(
            case,
            "advice",
            of,
            of,
            f"the changeover leaves the neutral of the network joined while {of} feeds alone: a"
            " second join to earth runs beside it. Ask who designs it whether that may stay",
            "joined",
            "parted",
        )
    return RULE.does_not_know(
        case,
        of,
        of,
        f"whether a changeover opens the neutral of the network while {of} feeds alone; leaving a"
        " lost network by itself does not part the neutral: look, and ask who designs it",
        "parted",
    )
