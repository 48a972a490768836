"""The earth bar of the board is joined to the main earthing terminal.

Why: every protective conductor of the board ends on this bar. Alone, it spreads a fault's voltage
to all metal instead of leading it away.
A pass: joined by its own conductor, in another building to an electrode there; under rule set nec
by the equipment grounding conductor that runs with the feeder. A danger: that conductor is missing.
"""

from firstway.checks.rule import Case, Findings, Rule

RULE = Rule(
    "earth-bar-joined",
    "The earth bar is joined to the main earthing terminal",
    "BS 7671 542.4.1, 411.3.1.1; IEC 60364-5-54 542.4; NFPA 70 250.32(B), 408.40",
    "2018+A3:2024; 2011; 2020",
    "danger",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    metal = case.joined(conductors_only=True)
    bars = [
        terminal.id
        for terminal in case.wiring.terminals_of("earth-bar")
        if terminal.id.rpartition(".")[2].isdigit()
    ]
    if not bars or case.wiring.terminal(case.wiring.main_earth) is None:
        return
    own = case.installation.electrode_of_board
    earth = case.wiring.main_earth if own is None else f"{own.name}.PE"
    if not any(metal[bar] == metal.get(earth) for bar in bars):
        yield RULE.says(
            case,
            "danger",
            "board",
            "earth-bar",
            "no conductor joins the earth bar to "
            + ("the main earthing terminal" if own is None else f"{own.name}, its electrode"),
        )
