"""In the wiring itself, the supply reaches a device at its supply terminals.

Why: a device marked for one direction, fed at its load terminals, keeps its electronics live after
it has opened and may fail to break. The button works once.
A pass: supply at the supply end, or a device made for either. A fail: a device with marked ends
wired the other way round. Its marks not known: ask its maker.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.checks.tracing import poles_of
from firstway.model.values import is_known
from firstway.wiring.circuit import SOURCES, States

RULE = Rule(
    "supply-at-load-end",
    "The supply reaches the device at its supply end",
    "BS 7671 530.3.201, 134.1.1; IEC 60364-5-51 510.3",
    "2018+A3:2024; 2005",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for way in case.each(case.installation.board.ways):
        poles = poles_of(case, way.name)
        if not poles:
            continue
        cut = case.joined(States(), without=tuple(pole.id for pole in poles))
        sources = {
            cut[terminal.id]
            for terminal in case.wiring.terminals
            if terminal.device in SOURCES and terminal.function not in ("PE", "N")
        }
        reversed_poles = [
            pole for pole in poles if cut[pole.end] in sources and cut[pole.start] not in sources
        ]
        if not reversed_poles or way.supply_end == "either":
            continue
        if not is_known(way.supply_end):
            yield RULE.does_not_know(
                case,
                way.name,
                way.name,
                f"whether {way.name} may be fed at its load terminals; read its marks, or ask its"
                " maker",
            )
        else:
            yield RULE.says(
                case,
                "fail",
                way.name,
                way.name,
                f"the supply reaches {way.name} at its load terminals, its supply end is marked",
            )
