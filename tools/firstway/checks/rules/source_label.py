"""Labels tell that a second source feeds, wherever somebody would isolate the first.

Why: the label is all that stops the next person from trusting one switch. It stands at the origin,
at the meter where that is elsewhere, at the board the source feeds, and at every place of
isolation.
A pass: labelled at all of them. A fail: not labelled. Not known: look.
"""

from firstway.checks.rule import Case, Findings, Rule, if_known

RULE = Rule(
    "source-label",
    "Labels tell of every source",
    "BS 7671 514.15.1; IEC 60364-5-51 514.1, IEC 60364-7-712 712.514 (from memory)",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for source in case.each(case.installation.sources):
        yield RULE.decides(
            case,
            source.name,
            source.name,
            if_known(source.labelled is True, source.labelled),
            found="no labels",
            wanted="labels",
            holds=f"labels tell of {source.name} at origin, board and places of isolation",
            breaks=f"no label tells that {source.name} feeds too: who opens the main switch trusts"
            " it wrongly",
            ask=f"whether labels at origin, meter, board and places of isolation tell of"
            f" {source.name}; look",
        )
