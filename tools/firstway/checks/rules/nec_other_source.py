"""Another source under this rule set is named, and nothing of it is judged here.

Why: interconnected and standby sources have articles of their own, on connection, disconnecting
means, transfer and labels, and this program works none of them. A job that names one is not called
sound because nothing was looked at. Never a pass.
Not known: always, for each source the file names.
"""

from firstway.checks.rule import AUTHORITY, Case, Findings, NecRule

RULE = NecRule(
    "nec-other-source",
    "Another source is judged by its own articles",
    "NFPA 70 445, 690, 702, 705, 706 (from memory)",
    "2020",
    "unknown",
)


def check(case: Case) -> Findings:
    for source in case.each(case.installation.sources):
        yield RULE.does_not_know(
            case,
            source.name,
            source.name,
            f"connection, disconnecting means, transfer and labels of {source.name}: nothing of it"
            f" is judged here; {AUTHORITY}",
        )
