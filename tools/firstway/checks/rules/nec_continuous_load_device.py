"""The device is rated for 125 % of a continuous load.

Why: a charging point draws its full current for hours. A circuit-breaker in a closed panel warms,
and one loaded to its rating may open or age. The code counts such a load at 125 %, for the branch
circuit and for the feeder. A device listed for 100 % of its rating is the exception; ask its maker.
A pass: 48 A on a 60 A device. A fail: 48 A on a 50 A device.
"""

from firstway.checks.rule import Case, Findings, NecRule, of_step

RULE = NecRule(
    "nec-continuous-load-device",
    "The device is rated for 125 % of the continuous load",
    "NFPA 70 625.41, 625.42, 210.20(A), 215.3",
    "2020",
    "fail",
)


def check(case: Case) -> Findings:
    for of, place in case.each(case.parts):
        yield RULE.compares(
            case,
            of,
            place,
            of_step(case, "continuous-load-current", of),
            of_step(case, "device-rating", of),
            "A",
            "the device is rated for 125 % of the continuous load",
            "the device is rated below 125 % of the continuous load",
        )
