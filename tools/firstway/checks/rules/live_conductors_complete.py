"""No supply terminal of a device and no live terminal of a point is left without its conductor.

Why: electronics without their neutral do not trip; a point without its neutral floats, and in three
phases each line then finds its own voltage, up to 400 V on what is made for 230 V.
A pass: every terminal joined to the board. A fail: the neutral lead of the RCBO hangs loose; the
neutral bar is not fed.
"""

from firstway.checks.rule import Case, Findings, Rule

RULE = Rule(
    "live-conductors-complete",
    "No live conductor is missing",
    "BS 7671 134.1.1, 643.2; IEC 60364-6 6.4.3.2; NFPA 70 110.3(B)",
    "2018+A3:2024; 2016; 2020",
    "fail",
    ("bs7671", "iec60364", "nec"),
)

ANCHORS = ("origin", "line-bar", "neutral-bar", "earth-bar", "main-earthing-terminal")
_WANTED = ("rcbo", "rcd", "circuit-breaker", "fuse", "contactor", "charging-point", "main-switch")


def check(case: Case) -> Findings:
    found = case.joined()
    kinds = {part.name: part.kind for part in case.wiring.parts}
    anchors = {
        found[terminal.id]
        for terminal in case.wiring.terminals
        if kinds.get(terminal.device) in ANCHORS
    }
    origin = {found[terminal.id] for terminal in case.wiring.terminals_of("origin")}
    alone = [
        terminal
        for terminal in case.wiring.terminals
        if kinds.get(terminal.device) in _WANTED
        and terminal.function != "PE"
        and terminal.end == "supply"
        and found[terminal.id] not in anchors
    ]
    bars = [
        kind
        for kind in ("neutral-bar", "bar")
        if case.wiring.terminals_of(kind)
        and not any(found[terminal.id] in origin for terminal in case.wiring.terminals_of(kind))
    ]
    for terminal in alone:
        yield RULE.says(
            case, "fail", terminal.device, terminal.id, f"nothing joins {terminal.id} to the board"
        )
    for bar in bars:
        yield RULE.says(
            case,
            "fail",
            "board",
            bar,
            "nothing joins the"
            f" {bar.replace('bar', 'line bar') if bar == 'bar' else bar.replace('-', ' ')} to the"
            " supply",
        )
