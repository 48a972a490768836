"""A board for ordinary persons stays within the sizes its standard covers.

Why: the standard for boards that ordinary persons use covers assemblies up to 250 A with outgoing
circuits up to 125 A. Beyond that another standard and other persons are needed.
A pass: a 100 A board with a 40 A device. A fail: a 160 A outgoing device.
"""

from firstway.checks.rule import Case, Findings, Rule, of_file, of_table
from firstway.model.values import is_known, key_of
from firstway.tables.reading import rule_limit

RULE = Rule(
    "assembly-scope",
    "The board stays within the scope of its standard",
    "IEC 61439-3 scope (BS EN 61439-3)",
    "2012",
    "fail",
    ("bs7671", "iec60364"),
    standing="found",
)


def check(case: Case) -> Findings:
    assembly = case.installation.board.assembly
    if is_known(assembly) and is_known(assembly.standard) and "61439-3" not in assembly.standard:
        return
    rating = of_file(
        key_of(assembly, "rating_a"),
        "the rated current of the assembly; read its plate or ask its maker",
    )
    yield RULE.compares(
        case,
        "board",
        "board",
        rating,
        of_table(rule_limit("bs7671", "board-largest-a")),
        "A",
        "the assembly is within the scope of the standard",
        "the assembly is larger than the standard covers",
    )
    largest = of_table(rule_limit("bs7671", "outgoing-largest-a"))
    for way in case.each(case.installation.board.ways):
        if not is_known(way.feeds):
            continue
        own = of_file(way.rating_a, f"the rating of {way.name}; read it on the device")
        yield RULE.compares(
            case,
            way.name,
            way.name,
            own,
            largest,
            "A",
            "the outgoing device is within the scope of the standard",
            "the outgoing device is larger than the standard covers",
        )
