"""A surge protective device is fitted, or the owner has said in writing that the loss is
acceptable.

Why: a surge comes along the supply in microseconds and takes electronics with it. Where it could
cost a life, or much money or data, a device must be fitted; in all other cases fit one unless the
owner declares the loss tolerable. A point open to the public counts as a public facility in the
international rules.
A pass: a device in the board. A fail: under the international rules, a public point and none.
Otherwise: none fitted is not known, since the owner's decision is not in the file.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import key_of

RULE = Rule(
    "surge-fitted",
    "A surge protective device is fitted, or the owner accepts the loss",
    "BS 7671 443.4.1; IEC 60364-7-722 722.443.4",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    there = case.installation.surge_ways
    premises = case.installation.premises
    public = key_of(premises, "public")
    if there:
        yield RULE.passes(
            case,
            "board",
            there[0].name,
            "a surge protective device is fitted",
            there[0].name,
            "fitted",
        )
    elif case.installation.rules == "iec60364" and public is True:
        yield RULE.says(
            case,
            "fail",
            "board",
            "board",
            "the point is open to the public and no surge protective device is fitted",
            "none",
            "fitted",
        )
    elif case.installation.rules == "iec60364" and public is not False:
        yield RULE.does_not_know(
            case,
            "board",
            "board",
            "whether the point is open to the public; if it is, a surge protective device must be"
            " fitted",
            "fitted",
        )
    else:
        yield RULE.does_not_know(
            case,
            "board",
            "board",
            "whether the owner has declared in writing that the loss from a surge is acceptable;"
            " without that, fit one",
            "fitted",
        )
