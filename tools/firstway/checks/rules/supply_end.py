"""A device with a marked supply end is fed at that end.

Why: some devices have electronics that must lose their supply when the device opens, or contacts
that break one way only. Fed at the wrong end, the device may not open, or burn when it has.
A pass: the bar joins it at the marked end; or either end serves. A fail: the bar joins the other
end.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import is_known, key_of

RULE = Rule(
    "supply-end",
    "The bar joins the device at its supply end",
    "BS 7671 530.3.201, 134.1.1; IEC 60364-5-51 510.3",
    "2018+A3:2024; 2005",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    bar = case.installation.board.busbar
    joins_at = key_of(bar, "joins_at")
    for way in case.each(case.installation.board.ways):
        if way.fed_from != "bar" or way.device in ("spd", "blank"):
            continue
        edges = {
            terminal.edge
            for terminal in case.wiring.terminals_of(way.name)
            if terminal.end == "supply"
        }
        if not is_known(way.supply_end):
            yield RULE.does_not_know(
                case,
                way.name,
                way.name,
                f"which end of {way.name} is its supply end; read its marks, or ask its maker",
            )
        elif way.supply_end == "either":
            yield RULE.passes(
                case, way.name, way.name, "either end may be the supply end", "either", "either"
            )
        elif not is_known(joins_at) or joins_at == "back":
            yield RULE.does_not_know(
                case,
                way.name,
                way.name,
                f"at which end the bar joins {way.name}; look at the board",
                str(way.supply_end),
            )
        elif edges == {way.supply_end}:
            yield RULE.passes(
                case,
                way.name,
                way.name,
                f"the bar joins {way.name} at its marked supply end",
                str(joins_at),
                str(way.supply_end),
            )
        else:
            yield RULE.says(
                case,
                "fail",
                way.name,
                way.name,
                f"the bar joins {way.name} at the {joins_at}, its supply end is marked at the"
                f" {way.supply_end}",
                str(joins_at),
                str(way.supply_end),
            )
