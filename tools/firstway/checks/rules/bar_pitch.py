"""The teeth of the bar stand as far apart as the devices are wide.

Why: a tooth that misses its clamp lies beside it. It feels tight, and carries the current of the
circuit through a scratch.
A pass: 17.5 mm under devices of one module. A fail: 27 mm.
"""

from firstway.checks.rule import Case, Findings, Rule, of_file, of_table
from firstway.model.values import NONE, key_of
from firstway.tables.reading import board_size_mm

RULE = Rule(
    "bar-pitch",
    "The bar's teeth meet the devices",
    "DIN 43880 (from memory); plug-on breakers: common practice; BS 7671 526.2; NFPA 70 110.3(B)",
    "1988; ; 2018+A3:2024; 2020",
    "fail",
    ("bs7671", "iec60364", "nec"),
)
# Makers' modules are 17.5 mm to 18 mm wide; half a millimetre a device adds up along a row, but
# each tooth still meets its clamp.
CLAMPS_ARE_WIDE_MM = 0.6


def check(case: Case) -> Findings:
    bar = case.installation.board.busbar
    if key_of(bar, "style") == NONE:
        return
    own = of_file(key_of(bar, "pitch_mm"), "how far apart the teeth of the bar stand; measure it")
    nec = case.installation.rules == "nec"
    width = of_table(board_size_mm("tabbed-breaker-width" if nec else "module-width"))
    if own.value is None or width.value is None:
        yield RULE.does_not_know(case, "board", "board", own.ask or width.ask, width.value, "mm")
    elif abs(own.value - width.value) <= CLAMPS_ARE_WIDE_MM:
        yield RULE.passes(
            case,
            "board",
            "board",
            "the teeth stand as far apart as one module is wide",
            own.value,
            width.value,
            "mm",
        )
    else:
        yield RULE.says(
            case,
            "fail",
            "board",
            "board",
            "the teeth miss the clamps: they stand neither as wide as a module nor near it",
            own.value,
            width.value,
            "mm",
        )
