"""Every terminal of the surge protective device is joined to the conductor it protects, its earth
to the board's earth bar.

Why: a device without its earth, or with an earth of its own far away, leaves the whole surge
between the live conductors and the earth of the vehicle. Its indicator stays green.
A pass: line, neutral and earth joined in this board. A fail: a lead left off; the earth lead taken
to a rod instead of the bar.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.checks.tracing import has_unlike, terminals_of_kind

RULE = Rule(
    "surge-joined",
    "The surge protective device is joined on all sides",
    "BS 7671 534.4.3, 534.4.8; IEC 60364-5-53 534.4.3; NFPA 70 242.24",
    "2018+A3:2024; 2015; 2020",
    "fail",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    whole, metal = case.joined(), case.joined(conductors_only=True)
    earth = {
        metal[terminal.id]
        for terminal in terminals_of_kind(case, "earth-bar")
        if terminal.id.rpartition(".")[2].isdigit()
    }
    live = {
        whole[terminal.id]
        for kind in ("line-bar", "neutral-bar", "origin", "main-switch")
        for terminal in terminals_of_kind(case, kind)
    }
    for way in case.each(case.installation.surge_ways):
        for terminal in case.wiring.terminals_of(way.name):
            if has_unlike(case, terminal.id):
                continue
            if terminal.function == "PE" and metal[terminal.id] not in earth:
                elsewhere = bool(case.wiring.conductors_at(terminal.id))
                yield RULE.says(
                    case,
                    "fail",
                    way.name,
                    terminal.id,
                    (
                        f"{terminal.id} is taken to another earth than the board's earth bar"
                        if elsewhere
                        else f"nothing joins {terminal.id} to the earth bar"
                    ),
                )
            elif terminal.function != "PE" and whole[terminal.id] not in live:
                yield RULE.says(
                    case,
                    "fail",
                    way.name,
                    terminal.id,
                    f"nothing joins {terminal.id} to the conductor it should protect",
                )
