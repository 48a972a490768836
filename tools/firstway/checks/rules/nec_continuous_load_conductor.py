"""The conductor's ampacity at its terminals covers 125 % of a continuous load.

Why: the conductor carries the heat of a terminal away. It must be large enough in the column for
which both ends are made, before any correction: 60 °C for unmarked terminals of devices up to 100
A, 60 °C for NM cable whatever the terminals are marked.
A pass: 48 A on 4 AWG NM cable: 70 A in the 60 °C column against 60 A. A fail: the same on 6 AWG NM
cable: 55 A against 60 A.
"""

from firstway.checks.rule import Case, Findings, NecRule, of_step, within
from firstway.tables.looking_up_nec import ampacity_a
from firstway.tables.reading import Read
from firstway.workings.nec.cable import awg_of

RULE = NecRule(
    "nec-continuous-load-conductor",
    "The conductor at its terminals carries 125 % of the continuous load",
    "NFPA 70 210.19(A)(1), 215.2(A)(1), 110.14(C), 334.80",
    "2020",
    "fail",
)
MARKED_C = 75


def check(case: Case) -> Findings:
    for of, _ in case.each(case.parts):
        carried, load = (
            of_step(case, "terminal-capacity", of),
            of_step(case, "continuous-load-current", of),
        )
        yield RULE.compares(
            case,
            of,
            of,
            carried,
            load,
            "A",
            "the conductor carries 125 % of the load in the column its terminals allow",
            _fails(case, of),
            at_most=False,
        )


def _fails(case: Case, of: str) -> str:
    column, method = case.step("terminal-column", of), case.step("wiring-method-column", of)
    if column is None or column.value is None or method is None or method.value is None:
        return "the conductor carries less than 125 % of the load in the column its terminals allow"
    text = f"in the {column.value:g} °C column the conductor carries less than 125 % of the load"
    size, needed = case.step("conductor-size", of), case.step("continuous-load-current", of)
    if method.value > column.value or size is None or needed is None or needed.value is None:
        return text
    marked = ampacity_a(awg_of(size), MARKED_C)
    if not isinstance(marked, Read) or not within(needed.value, marked.value):
        return text
    return (
        f"{text}; the {marked.value:g} A of the {MARKED_C} °C column may not be used, whatever the"
        " terminals are marked: the wiring method allows no hotter column"
    )
