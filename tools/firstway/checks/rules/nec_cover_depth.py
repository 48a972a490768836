"""What is buried has the cover the table asks for.

Why: people dig and drive stakes. A raceway that is not of metal lies 18 inches deep, a cable 24
inches; less is allowed in rigid metal conduit, under concrete and behind certain devices, which the
file does not tell.
A pass: 0.6 m. A fail: 0.1 m.
"""

from firstway.checks.rule import Case, Findings, NecRule, of_table, within
from firstway.model.values import is_known, key_of
from firstway.tables.reading import rule_limit

RULE = NecRule(
    "nec-cover-depth",
    "What is buried has its cover",
    "NFPA 70 300.5 and Table 300.5 (from memory)",
    "2020",
    "fail",
)


def check(case: Case) -> Findings:
    job = case.installation
    parts = (("feed", job.feed), *((circuit.name, circuit) for circuit in job.circuits))
    for of, part in case.each(parts):
        route = key_of(part, "route")
        buried = (
            [stretch.depth_m for stretch in route if stretch.method == "buried"]
            if is_known(route)
            else []
        )
        if not buried:
            continue
        how = (
            "cover-raceway-m"
            if key_of(key_of(part, "cable"), "wiring_method") == "raceway"
            else "cover-cable-m"
        )
        wanted = of_table(rule_limit("nec", how))
        if wanted.value is None or any(not is_known(depth) for depth in buried):
            yield RULE.does_not_know(
                case, of, of, f"how deep {of} is buried; ask who laid it", wanted.value, "m"
            )
        elif within(wanted.value, least := min(float(depth) for depth in buried)):
            yield RULE.passes(
                case, of, of, "it has the cover the table asks for", least, wanted.value, "m"
            )
        else:
            yield RULE.says(
                case,
                "fail",
                of,
                of,
                "less cover than the table asks for, unless metal conduit or concrete guards it: a"
                " shovel reaches it",
                least,
                wanted.value,
                "m",
            )
