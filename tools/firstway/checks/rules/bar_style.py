"""The bar is of the kind the devices are made for.

Why: a clamp for pins or forks does not hold on a tab, and a plug-on breaker does not sit on a pin.
What holds by luck glows under hours of current. Devices that are fed from a bar need one.
A pass: pins in a board of rail devices, tabs in a panel of plug-on breakers. Advice: the other way
round. A fail: no bar at all, and ways that are fed from it.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import NONE, is_known, key_of

RULE = Rule(
    "bar-style",
    "The bar is of the kind the devices are made for",
    "BS 7671 134.1.1, 526.2; IEC 60364-5-51 510.3; NFPA 70 110.3(B)",
    "2018+A3:2024; 2005; 2020",
    "fail",
    ("bs7671", "iec60364", "nec"),
)
USUAL = {"bs7671": ("pin", "fork", "links"), "iec60364": ("pin", "fork", "links"), "nec": ("tabs",)}


def check(case: Case) -> Findings:
    job = case.installation
    style, usual = key_of(job.board.busbar, "style"), USUAL[str(job.rules)]
    fed = [way.name for way in job.board.ways if way.fed_from == "bar" and way.device != "blank"]
    limit = " or ".join(usual)
    if not fed:
        return
    if style == NONE:
        yield RULE.says(
            case,
            "fail",
            "board",
            "board",
            f"{' and '.join(fed)} are fed from a bar, and there is none: what joins them is"
            " told nowhere",
            "none",
            limit,
        )
    elif not is_known(style):
        yield RULE.does_not_know(
            case,
            "board",
            "board",
            "of what kind the bar is; look at the board, or ask its maker",
            limit,
        )
    elif style in usual:
        yield RULE.passes(
            case,
            "board",
            "board",
            "the bar is of a kind these devices are made for",
            str(style),
            limit,
        )
    else:
        yield RULE.says(
            case,
            "advice",
            "board",
            "board",
            f"a bar with {style} under devices that are usually made for {limit}: see that the"
            " maker of the board names it",
            str(style),
            limit,
        )
