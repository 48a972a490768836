"""What is kept for a later point is there: a way, a feed and a supply that bear it.

Why: a spare way alone is no promise. The feed, the device ahead of it and the service carry the
later point too, hour after hour; a cable in the wall is not pulled again.
A pass: a blank of two modules for a device of two, a feed and a service that bear both points. A
fail: the feed is too small for both. A supply that would be full is advice: a limiter may hold it.
"""

from firstway.checks.rule import Case, Findings, JudgedFigure, Rule, of_file, of_step
from firstway.model.values import key_of

RULE = Rule(
    "later-point-room",
    "What is kept for a later point bears it",
    "BS 7671 132.3, 433.1.1; IEC 60364-1 132.3 (from memory); common practice",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    job = case.installation
    for later in case.each(job.later_points):
        yield RULE.compares(
            case,
            later.way,
            later.way,
            of_file(later.modules, f"how many modules the device of {later.name} will take"),
            JudgedFigure(float(job.way(later.way).modules)),
            "modules",
            f"the device of {later.name} fits the way kept for it",
            f"the device of {later.name} is wider than the way kept for it",
        )
    if not job.later_points:
        return
    feed = of_step(case, "feed-with-later", "supply", "the current of every point")
    yield RULE.compares(
        case,
        "feed",
        "feed",
        feed,
        of_step(case, "device-rating", "feed", "the rating of the device of the feed"),
        "A",
        "the device of the feed carries the later points too",
        "with the later points the feed carries more than its device",
    )
    yield RULE.compares(
        case,
        "feed",
        "feed",
        feed,
        of_step(case, "corrected-capacity", "feed", "the capacity of the cable of the feed"),
        "A",
        "the cable of the feed is chosen for the later points too",
        "the cable of the feed is too small for the later points: it is not pulled twice",
    )
    yield RULE.compares(
        case,
        "supply",
        "supply",
        of_step(case, "demand-with-later", "supply", "the load of the installation"),
        of_file(
            key_of(job.supply.service_device, "rating_a"),
            "the rating of the service device; ask the distributor",
        ),
        "A",
        "the supply bears the later points too",
        "with the later points the supply is full: plan a limiter for that day",
        otherwise="advice",
    )
