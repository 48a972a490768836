"""The board must be proved to the standard for boards that ordinary persons use.

Why: a row of good devices in an empty box is not a board. The standard tries the whole: heat, fault
current, clearances, what a finger can reach.
A pass: BS EN 61439-3. A fail: an empty accessory enclosure to BS EN 60670-24 on a one-phase supply
of at most 100 A in the hands of ordinary persons.
"""

from firstway.checks.rule import Case, Findings, Rule, of_table, within
from firstway.model.values import is_known, key_of
from firstway.tables.reading import rule_limit

RULE = Rule(
    "assembly-standard",
    "The assembly is proved to the standard for boards",
    "BS 7671 421.1.201; IEC 61439-3 scope (BS EN 61439-3); national foreword of BS EN 60670-24",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)
BOARDS, EMPTY_BOXES = "61439-3", "60670-24"
FOR_SKILLED_PERSONS = ("61439-2", "60439-1")  # power switchgear, and the standard before it


def check(case: Case) -> Findings:
    installation = case.installation
    assembly, premises = installation.board.assembly, installation.premises
    standard = key_of(assembly, "standard")
    used_by = key_of(premises, "used_by")
    if not is_known(standard):
        yield RULE.does_not_know(
            case,
            "board",
            "board",
            "the standard the assembly is declared to; read its plate or ask its maker",
            BOARDS,
        )
    elif BOARDS in standard:
        yield RULE.passes(
            case,
            "board",
            "board",
            "the assembly is declared to the standard for boards ordinary persons use",
            str(standard),
            BOARDS,
        )
    elif (
        EMPTY_BOXES in standard
        and used_by == "ordinary-persons"
        and (installation.rules == "iec60364" or installation.supply.phases == 1 and _small(case))
    ):
        yield RULE.says(
            case,
            "fail",
            "board",
            "board",
            "an empty accessory enclosure is not proved as a board for ordinary persons",
            str(standard),
            BOARDS,
        )
    elif used_by == "ordinary-persons" and any(
        word in standard for word in (EMPTY_BOXES, *FOR_SKILLED_PERSONS)
    ):
        yield RULE.says(
            case,
            "advice",
            "board",
            "board",
            f"{standard} is not the standard of boards that ordinary persons use: ask the maker of"
            " the assembly for its declaration",
            str(standard),
            BOARDS,
        )
    else:
        yield RULE.does_not_know(
            case,
            "board",
            "board",
            f"whether an assembly to {standard} is right here; ask its maker",
            BOARDS,
        )


def _small(case: Case) -> bool:
    service, limit = (
        case.installation.supply.service_device,
        of_table(rule_limit("bs7671", "empty-enclosure-barred-up-to-a")),
    )
    return (
        is_known(service)
        and is_known(service.rating_a)
        and limit.value is not None
        and within(service.rating_a, limit.value)
    )
