"""What is placed in the box lies inside it, and nothing lies where something else does.

Why: figures of places that cannot all be true place nothing: lengths and surge figures that rest on
them would be worked for a board that nobody can build.
A pass: devices and bars beside each other. A fail: a bar in the row of devices.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.layout.stated import of_bar, of_own_bars, of_the_row, paths_of_unknown

RULE = Rule(
    "parts-fit",
    "Devices and bars have room beside each other",
    "geometry: two bodies do not share a place",
    "",
    "fail",
    ("bs7671", "iec60364", "nec"),
    standing="computed",
)


def check(case: Case) -> Findings:
    job = case.installation
    if case.plan.refused:
        yield RULE.does_not_know(case, "board", "board", f"{case.plan.refused}: look for room")
        return
    wanted = [
        *of_the_row(job),
        *of_bar(job, "neutral-bar"),
        *of_bar(job, "earth-bar"),
        *of_own_bars(job),
    ]
    unknown, crowded = paths_of_unknown(wanted), case.plan.layout.parts.crowded
    if unknown:
        more = f" and {len(unknown) - 1} more keys" if unknown[1:] else ""
        ask = f"where devices and bars lie in the box; measure it and state {unknown[0]}{more}"
        yield RULE.does_not_know(case, "board", "board", ask)
    elif crowded:
        words = f"no room as the file places it: {', '.join(crowded)}; measure the places again"
        yield RULE.says(case, "fail", "board", "board", words, ", ".join(crowded), "room for each")
    else:
        words = "devices and bars lie in the box beside each other"
        yield RULE.passes(case, "board", "board", words)
