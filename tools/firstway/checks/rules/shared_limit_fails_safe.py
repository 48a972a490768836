"""When points that share a limit lose each other, they stay within it all the same.

Why: posts that share a limit do so over a wire or a radio. When that is lost, each knows only
itself; if each then takes its full current, cable and devices chosen for the limit are overloaded
for hours. No clause was found; it is common practice.
A pass: two posts of 32 A that share 40 A and fall to 16 A each. Advice: they fall to 32 A each; the
limit is not counted then. What a maker does not state is not known.
"""

from firstway.checks.rule import Case, Findings, Rule, of_step
from firstway.model.values import is_known

RULE = Rule(
    "shared-limit-fails-safe",
    "Without their signal the points stay within the limit they share",
    "common practice",
    "",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    if not is_known(case.installation.shared_limit):
        return
    yield RULE.compares(
        case,
        "supply",
        "supply",
        of_step(case, "lost-together", "supply"),
        of_step(case, "shared-limit", "supply"),
        "A",
        "without their signal the points together stay within the limit they share",
        "without their signal the points together pass the limit they share: it is not counted",
        otherwise="advice",
    )
