"""A device that only watches line against neutral does not notice every broken PEN.

Why: when the PEN breaks, the neutral shifts with the loads of the street. If they happen to
balance, line to neutral stays in its range while everything earthed rises. With three phases a
device can look at all three, or at true earth.
A pass: one phase, where the measure is allowed (it still does not notice everything). Advice: with
three phases prefer three lines, true earth or a device to the newer standard. A fail: with three
phases under the edition of 2020.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import is_known

RULE = Rule(
    "line-neutral-watch",
    "What the open-PEN device watches fits the supply",
    "BS 7671 722.411.4.1 (iv)",
    "2018+A2:2022",
    "fail",
    ("bs7671",),
)
ONE_PHASE_ONLY = "2018+A1:2020"
_BETTER = "three lines, or true earth"


def check(case: Case) -> Findings:
    installation = case.installation
    if installation.supply.system != "TN-C-S":
        return
    for point in case.each(installation.charging_points):
        measure = point.open_pen
        if (
            not is_known(measure)
            or measure.measure != "device"
            or (is_known(point.earthed_by) and point.earthed_by != "supply")
        ):
            continue
        say = lambda level, message: RULE.says(
            case, level, point.name, point.name, message, str(measure.senses), _BETTER
        )
        if not is_known(measure.senses):
            yield RULE.does_not_know(
                case,
                point.name,
                point.name,
                f"what the open-PEN device of {point.name} watches; ask its maker",
                _BETTER,
            )
        elif measure.senses == "protective-current" or (
            measure.senses == "three-lines" and installation.supply.phases != 3
        ):
            continue  # `open-pen-senses` speaks of it
        elif measure.senses != "line-neutral-voltage":
            yield RULE.passes(
                case,
                point.name,
                point.name,
                f"the device watches more than line against neutral ({measure.senses})",
                str(measure.senses),
                _BETTER,
            )
        elif installation.supply.phases == 1:
            yield RULE.passes(
                case,
                point.name,
                point.name,
                "allowed with one phase; it does not notice every broken PEN",
                str(measure.senses),
                _BETTER,
            )
        elif installation.edition == ONE_PHASE_ONLY:
            yield say(
                "fail",
                "under this edition a device that watches line against neutral is for one phase"
                " only",
            )
        else:
            yield say(
                "advice",
                "with three phases prefer a device that watches three lines or true earth: this one"
                " does not notice every broken PEN",
            )
