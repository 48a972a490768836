"""Every source has a device for isolation of its own.

Why: the main switch parts the board from the network, and the inverter behind it goes on. Who works
must be able to part the board from every source, lock each off, and prove it dead.
A pass: a device for isolation at the source's own connection. A fail: none: pulling a plug or
stopping it by its menu isolates nothing. Not known: look for it; photovoltaic modules need one on
their d.c. side too, of which the file says nothing.
"""

from firstway.checks.rule import Case, Findings, Rule, if_known

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
            yield RULE.does_not_know(
                case,
                source.name,
                source.name,
                f"whether {source.name} has a device for isolation on its d.c. side, beside that on"
                " its a.c. side; look: photovoltaic modules stay live in daylight and cannot be"
                " proved dead",
                "isolator of its own",
                value="a.c. side alone",
            )
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
