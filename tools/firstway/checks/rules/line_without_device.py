"""Every line has its overcurrent device.

Why: a line that passes a device by is guarded by whatever stands further up, often by nothing that
would open before the cable burns.
A pass: three poles for three lines. A fail: one pole for two or three.
"""

from firstway.checks.devices import overcurrent_devices_ahead
from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import is_known
from firstway.wiring.deriving import lines_of

RULE = Rule(
    "line-without-device",
    "Every line has its overcurrent device",
    "BS 7671 431.1.1; IEC 60364-4-43 431.1.1; NFPA 70 240.15(A), 230.90(A)",
    "2018+A3:2024; 2008; 2020",
    "fail",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    lines = len(lines_of(case.installation))
    for of, words, item in case.each(overcurrent_devices_ahead(case.installation)):
        if not is_known(item.poles):
            continue
        yield RULE.decides(
            case,
            of,
            of,
            item.poles >= lines,
            found=item.poles,
            wanted=lines,
            holds=f"{words} stands in every line",
            breaks=(
                f"{words} opens fewer lines than the supply has: the others are"
                " guarded by nothing here"
            ),
            unit="poles",
            held=item.poles,
        )
