"""A reading keeps its limit.

Why: a test is made so that what is wrong is found before a person finds it. A reading beyond its
limit is not explained away, whatever was expected: a loop too high to open its device, a cable that
leaks, a device that opens too late, an earth that is not joined.
A pass: a loop of 0.39 Ω where 0.87 Ω is allowed, an insulation of 200 MΩ. Advice: a trip
time of 220 ms behind an electrode, which passes the test of the device. A fail: an insulation of
0.2 megohm, a trip time of 500 ms. Danger: a pole that is crossed, an earth that is open.
"""

from firstway.checks.judging_readings import against_limit, reading_taken
from firstway.checks.rule import Case, Findings, Rule

RULE = Rule(
    "reading-against-limit",
    "Every reading keeps its limit",
    "BS 7671 643.2 to 643.8, Table 64, 411.5.3; IEC 60364-6 6.4.3; voltage: ESQCR, IEC 60038, ANSI"
    " C84.1",
    "2018+A3:2024; 2016; ",
    "danger",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    for reading in case.each(case.installation.readings):
        found = reading_taken(case, reading)
        judged = against_limit(case, found)
        if judged is not None:
            value = found.words if found.value is None else found.value
            said = (judged.message, value, judged.against, found.unit)
            yield RULE.says(case, judged.level, found.of, found.place, *said)
