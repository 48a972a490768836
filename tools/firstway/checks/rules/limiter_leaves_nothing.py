"""The load limiter leaves a point its least current while the house runs.

Why: a point needs 6 A or it pauses. A limit below what the house draws by itself stops every
charge, and somebody will raise the limit.
A pass: 70 A beside a house of 41 A. Advice: 5 A.
"""

from firstway.calculations.adding import added
from firstway.checks.rule import Case, Findings, JudgedFigure, Rule, of_file, of_step, of_table
from firstway.model.values import is_known
from firstway.tables.reading import rule_limit

RULE = Rule(
    "limiter-leaves-nothing",
    "The load limiter leaves a point its least current",
    "IEC 61851-1: 6 A at least (from memory); common practice",
    "2017",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    limiter = case.installation.load_limiter
    if not is_known(limiter):
        return
    house = of_step(
        case, "existing-demand", "supply", "the load of the installation without the new points"
    )
    least = of_table(rule_limit("bs7671", "point-least-a"))
    wanted = (
        JudgedFigure(None, house.ask or least.ask)
        if house.value is None or least.value is None
        else JudgedFigure(added((house.value, least.value)))
    )
    yield RULE.compares(
        case,
        "supply",
        "supply",
        of_file(limiter.limit_a, "the current to which the limiter is set"),
        wanted,
        "A",
        "a point can go on with its least current while the house draws its most",
        "while the house draws its most nothing is left for a point, and somebody will raise the"
        " limit",
        at_most=False,
        otherwise="advice",
    )
