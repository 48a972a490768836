"""A reading was taken on this work.

Why: a reading from before the work began was taken on another installation. At the origin it tells
what the network was like then; the network changes.
A pass: a loop measured on the day the work began. Advice: a voltage measured seven years before.
A reading without its day is left alone.
"""

from firstway.checks.judging_readings import named, reading_taken
from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import is_known

RULE = Rule(
    "reading-day",
    "Every reading was taken on this work",
    "common practice",
    "",
    "advice",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    begins = case.installation.work_begins
    for reading in case.each(case.installation.readings):
        found, day = reading_taken(case, reading), reading.day
        if not is_known(day):
            continue
        before = day < begins
        yield RULE.says(
            case,
            "advice" if before else "pass",
            found.of,
            found.place,
            f"{named(found)} was taken before the work began: take it again"
            if before
            else f"{named(found)} was taken on this work",
            day.isoformat(),
            begins.isoformat(),
        )
