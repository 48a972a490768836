"""Every source has a device for isolation of its own.

Why: the main switch parts the board from the network, and the inverter behind it goes on. Who works
must be able to part the board from every source, lock each off, and prove it dead.
A pass: a device for isolation at the source's own connection. A fail: none: pulling a plug or
stopping it by its menu isolates nothing. Photovoltaic modules need one on their d.c. side too: they
stay live in daylight. Not known: look for either.
"""

from firstway.checks.rule import Case, Finding, Findings, Rule, if_known
from firstway.model.installation import OtherSource

RULE = Rule(
    "source-isolation",
    "Every source can be isolated",
    "BS 7671 462.1, 551.2.4, 712.537.2; IEC 60364-5-55 551.2.4, IEC 60364-7-712 712.537.2"
    " (from memory)",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for source in case.each(case.installation.sources):
        if source.isolator is True and source.kind == "photovoltaic":
            yield _modules(case, source)
            continue
        yield RULE.decides(
            case,
            source.name,
            source.name,
            if_known(source.isolator is True, source.isolator),
            found="none",
            wanted="isolator of its own",
            holds=f"{source.name} has a device for isolation of its own",
            breaks=f"nothing parts {source.name} from what it feeds: opening the main switch leaves"
            " it feeding",
            ask=f"whether {source.name} has a device for isolation of its own; look",
        )


def _modules(case: Case, source: OtherSource) -> Finding:
    """The d.c. side of a source whose a.c. side can be isolated."""
    of = source.name
    return RULE.decides(
        case,
        of,
        of,
        if_known(source.isolator_dc is True, source.isolator_dc),
        found="a.c. side alone",
        wanted="isolator of its own",
        holds=f"{of} has a device for isolation of its own on its a.c. side and on its d.c. side",
        breaks=f"nothing parts the modules of {of} on the d.c. side: they stay live in daylight"
        " and cannot be proved dead",
        ask=f"whether {of} has a device for isolation on its d.c. side, beside that on its a.c."
        " side; look: photovoltaic modules stay live in daylight and cannot be proved dead",
    )
