"""Each conductor at the neutral or earth bar has a screw of its own.

Why: two conductors under one screw share its pressure unevenly, and the thinner one works loose. An
earth bar is full sooner than one thinks: the feed, every circuit, the armour, the surge protective
device and the box itself end at it.
A pass: 4 conductors at a bar of 6 screws. A fail: 5 conductors at a bar of 4.
"""

from firstway.checks.places import cable_not_described
from firstway.checks.rule import Case, Findings, JudgedFigure, Rule, of_file
from firstway.layout.stated import bar_place
from firstway.model.values import key_of

RULE = Rule(
    "bar-screws",
    "Each conductor at a bar has a screw of its own",
    "counting screws; BS 7671 526.2; IEC 60364-5-52 526.2; NFPA 70 110.14(A) (from memory)",
    "; 2018+A3:2024; ; 2020",
    "fail",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    wiring = case.wiring
    bars = [part for part in wiring.parts if part.kind in ("neutral-bar", "earth-bar")]
    for bar in case.each(bars):
        for circuit in case.installation.circuits:
            key_of(circuit, "neutral")  # it says which conductors there are
        for electrode in case.installation.electrodes:
            key_of(electrode, "use")  # and so does this
        screws = [
            each.id
            for each in wiring.terminals_of(bar.name)
            if each.id.rpartition(".")[2].isdigit()
        ]
        held = sum(
            1 for screw in screws for each in wiring.conductors_at(screw) if each.kind != "bar"
        )
        there = of_file(
            key_of(bar_place(case.installation, bar), "screws"),
            f"how many screws the {bar.name} has; count them",
        )
        fits = there.value is not None and held <= there.value
        if fits and (asked := cable_not_described(case.installation)):
            yield RULE.does_not_know(
                case, "board", bar.name, asked, there.value, "screws", float(held)
            )
            continue
        yield RULE.compares(
            case,
            "board",
            bar.name,
            JudgedFigure(float(held)),
            there,
            "screws",
            f"the {bar.name} has a screw for each conductor",
            f"more conductors end at the {bar.name} than it has screws",
        )
