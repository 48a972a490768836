"""A device has a rating that is made.

Why: 33 A is 32 A or 40 A misread, and the two ask for different cables. Tables of fault loops hold
the ratings that are made, and nothing between them.
A pass: 40 A. Advice: 33 A.
"""

from firstway.checks.devices import overcurrent_devices_ahead
from firstway.checks.rule import Case, Findings, Rule
from firstway.model.installation import ServiceDevice, Way
from firstway.model.values import is_known
from firstway.tables.looking_up import rating_not_below_a
from firstway.tables.reading import Gap

RULE = Rule(
    "standard-rating",
    "A device has a rating that is made",
    "IEC 60898-1; IEC 61009-1; IEC 60269, BS 88-3, BS 1361 (from memory); NFPA 70 240.6(A)",
    "2015; 2010; in force; 2020",
    "advice",
    ("bs7671", "iec60364", "nec"),
)
SMALLEST_A = 1.0


def check(case: Case) -> Findings:
    job = case.installation
    devices: list[tuple[str, str, ServiceDevice | Way]] = [
        *overcurrent_devices_ahead(job),
        *(
            (way.name, way.name, way)
            for way in job.board.ways
            if way.device in ("rcbo", "circuit-breaker", "fuse")
        ),
    ]
    for of, words, item in case.each(devices):
        if not is_known(item.rating_a):
            continue  # asked for where a current is compared with it
        if not is_known(item.standard):
            yield RULE.does_not_know(
                case,
                of,
                of,
                f"the standard of {words}, which lists its ratings; read it on the device",
                unit="A",
            )
            continue
        next_up = rating_not_below_a(str(item.device), str(item.standard), float(item.rating_a))
        if isinstance(rating_not_below_a(str(item.device), str(item.standard), SMALLEST_A), Gap):
            continue  # no table lists the ratings of this standard
        if not isinstance(next_up, Gap) and next_up.value == item.rating_a:
            yield RULE.passes(
                case,
                of,
                of,
                f"devices of the rating of {words} are made",
                item.rating_a,
                next_up.value,
                "A",
            )
        else:
            yield RULE.says(
                case,
                "advice",
                of,
                of,
                f"{words} has a rating that is not made: read it again",
                item.rating_a,
                None if isinstance(next_up, Gap) else next_up.value,
                "A",
            )
