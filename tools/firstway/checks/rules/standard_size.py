"""A conductor has a size that is made.

Why: tables hold the sizes that are made. Between two of them nothing is read, so a size of 7 mm²
leaves the cable unjudged; mostly a digit is wrong.
A pass: 6 mm². Advice: 7 mm².
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.model.installation import Cable
from firstway.model.values import is_known, key_of
from firstway.tables.looking_up import standard_sizes_mm2
from firstway.tables.looking_up_nec import sizes_awg

RULE = Rule(
    "standard-size",
    "A conductor has a size that is made",
    "IEC 60228; NFPA 70 Chapter 9, Table 8",
    "2004; 2020",
    "advice",
    ("bs7671", "iec60364", "nec"),
    standing="found",
)


def check(case: Case) -> Findings:
    job = case.installation
    key = "size_awg" if job.rules == "nec" else "csa_mm2"
    cables = (
        ("supply", job.supply.cable),
        ("feed", key_of(job.feed, "cable")),
        *((circuit.name, circuit.cable) for circuit in job.circuits),
    )
    for of, cable in case.each(cables):
        size = key_of(cable, key)
        if not is_known(size):
            if of != "supply":
                yield RULE.does_not_know(
                    case, of, of, f"the size of the conductors of {of}; read it on the cable"
                )
        elif _is_made(cable, size):
            yield RULE.passes(case, of, of, "conductors of this size are made", size)
        else:
            yield RULE.says(
                case,
                "advice",
                of,
                of,
                "no conductor of this size is made for wiring, and no table judges it: read it"
                " again",
                size,
                "a size that is made",
            )


def _is_made(cable: Cable, size: float | str) -> bool:
    if isinstance(size, str):
        return size in sizes_awg()
    kind = cable.construction if is_known(cable.construction) else "single-core"
    made = {read.value for name in (str(kind), "single-core") for read in standard_sizes_mm2(name)}
    return not made or float(size) in made
