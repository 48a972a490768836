"""A reading lies near what was foretold.

Why: every figure of a design is an expectation until it is measured. A reading far from it, on
either side, tells of a cable longer than drawn, a poor joint, a second way for the current, or an
instrument that was set or nulled wrongly, even where the limit is kept.
A pass: 0.28 Ω where 0.277 Ω was foretold and no limit says more; where one does, that rule
passes it. Advice: 0.60 Ω where 0.39 Ω was foretold, or 0.02 Ω where 0.28 Ω was: a fifth is
common practice. Not known: a place for which nothing can be foretold.
"""

from firstway.checks.expecting import expected_readings
from firstway.checks.judging_readings import (
    against_foretold,
    against_limit,
    line_for,
    reading_taken,
)
from firstway.checks.rule import Case, Findings, Rule

RULE = Rule(
    "reading-differs",
    "Every reading lies near what was foretold",
    "common practice; the clause on continuity asks to compare with the design",
    "",
    "advice",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    if not case.installation.readings:
        return
    expected = expected_readings(case)
    for reading in case.each(case.installation.readings):
        found = reading_taken(case, reading)
        limited = against_limit(case, found)
        if limited is not None and limited.level in ("danger", "fail"):
            continue  # what is beyond its limit needs no second word
        judged = against_foretold(case, found, line_for(found, expected))
        if judged is not None:
            said = (judged.message, found.value, judged.against, found.unit)
            yield RULE.says(case, judged.level, found.of, found.place, *said)
