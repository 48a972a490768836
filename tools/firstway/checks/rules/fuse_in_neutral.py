"""No fuse or single overcurrent device stands in the neutral.

Why: when it blows, the installation looks dead and every line is live. With three phases each line
then finds its own voltage through the loads, up to 400 V on what is made for 230 V. Only a device
that opens all lines together with the neutral may break it.
A pass: one pole for one line. A fail: a fuse of two poles for one line and neutral.
"""

from firstway.checks.devices import overcurrent_devices_ahead
from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import is_known
from firstway.wiring.deriving import lines_of

RULE = Rule(
    "fuse-in-neutral",
    "No fuse stands in the neutral",
    "BS 7671 132.14.2, 530.3.2 (from memory); IEC 60364-4-43 431.2",
    "2018+A3:2024; 2008",
    "fail",
    ("bs7671", "iec60364"),
)
FUSES = ("fuse", "switch-fuse")


def check(case: Case) -> Findings:
    lines = len(lines_of(case.installation))
    for of, words, item in case.each(overcurrent_devices_ahead(case.installation)):
        if item.device not in FUSES or not is_known(item.poles):
            continue
        yield RULE.decides(
            case,
            of,
            of,
            item.poles <= lines,
            found=item.poles,
            wanted=lines,
            holds=f"{words} has no fuse in the neutral",
            breaks=(
                f"{words} has a fuse in the neutral: blown, it leaves every line live"
                " while all looks dead"
            ),
            unit="poles",
            held=item.poles,
        )
