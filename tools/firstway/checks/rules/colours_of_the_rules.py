"""Conductors bear the colours of the rules the job is built by.

Why: black was the neutral of old wiring in one country and is a line in another; blue is a neutral
here and nothing there. Who opens the board trusts colours before any drawing. New work bears the
present colours; old wiring may keep its own, marked where they meet.
A pass: harmonised colours in a new cable. A fail: colours of another country; old colours in new
work.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.model.installation import Trade
from firstway.model.values import is_known, key_of

RULE = Rule(
    "colours-of-the-rules",
    "Conductors bear the colours of their rules",
    "BS 7671 514.3, Table 51; IEC 60445; NFPA 70 200.6, 250.119",
    "2018+A3:2024; 2017; 2020",
    "fail",
    ("bs7671", "iec60364", "nec"),
)
PRESENT = {"bs7671": ("harmonised",), "iec60364": ("harmonised",), "nec": ("nec",)}
# What stands already may be older than the colours of today.
OLDER = {"bs7671": ("red-black",), "iec60364": (), "nec": ()}


def check(case: Case) -> Findings:
    job, rules = case.installation, str(case.installation.rules)
    right = PRESENT[rules]
    new = [
        ("feed", key_of(job.feed, "cable")),
        *((circuit.name, circuit.cable) for circuit in job.circuits),
    ]
    there = [("supply", job.supply.cable), *((board.name, board) for board in job.existing_boards)]
    for of, part in case.each(new):
        yield from _of(
            case, of, key_of(part, "colours"), right, "new work bears the present colours"
        )
    for of, part in case.each(there):
        yield from _of(
            case,
            of,
            key_of(part, "colours"),
            (*right, *OLDER[rules]),
            "these are colours of other rules",
        )


def _of(case: Case, of: str, colours: Trade, right: tuple[str, ...], against: str) -> Findings:
    limit = " or ".join(right)
    if not is_known(colours):
        if of != "supply":  # whose tails are not described has said nothing about them
            yield RULE.does_not_know(
                case, of, of, f"the colours of the conductors of {of}; look at them", limit
            )
    elif colours in right:
        yield RULE.passes(
            case, of, of, f"the conductors of {of} bear colours of these rules", str(colours), limit
        )
    else:
        yield RULE.says(
            case,
            "fail",
            of,
            of,
            f"the conductors of {of} bear the colours {colours}: {against}; sleeve or replace them",
            str(colours),
            limit,
        )
