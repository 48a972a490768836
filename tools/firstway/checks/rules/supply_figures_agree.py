"""The prospective currents of the supply agree with its loops.

Why: current is voltage over impedance. Where the file gives both, one can be checked by the other:
half the current, or twice, means that a joint is bad, that an instrument was on the wrong range, or
that the figures belong to different places.
A pass: 0.82 kA and 0.28 Ω on 230 V. Advice: 0.08 kA and 0.28 Ω; three phases below one.
"""

from firstway.checks.rule import Case, Finding, Findings, Rule
from firstway.model.values import is_known, key_of

RULE = Rule(
    "supply-figures-agree",
    "Currents and loops of the supply agree",
    "arithmetic: I = U0 / Z; common practice",
    "",
    "advice",
    ("bs7671", "iec60364"),
)
# A loop tester scatters by a tenth or two at such small impedances, and a network is seldom
# measured twice in one state; half or twice is more than scatter.
_FURTHER_APART = 2.0
LOOPS = (
    ("line_neutral", "line_neutral_loop_ohm", "line to neutral"),
    ("line_earth", "ze_ohm", "line to earth"),
)


def check(case: Case) -> Findings:
    supply = case.installation.supply
    currents, volts = supply.prospective_fault_current_ka, supply.line_to_earth_v
    for key, loop_key, words in case.each(LOOPS):
        stated, loop = key_of(currents, key), key_of(supply, loop_key)
        if not is_known(stated) or not is_known(loop) or not is_known(volts):
            continue
        worked = float(volts) / float(loop) / 1000
        yield _of(case, words, float(stated), worked)
    three, one = key_of(currents, "three_phase"), key_of(currents, "line_neutral")
    for _ in case.each((three,)):
        if is_known(three) and is_known(one) and three < one:
            yield RULE.says(
                case,
                "advice",
                "supply",
                "supply",
                "three phases together give less than one line and neutral:"
                " it cannot be; read both again",
                three,
                one,
                "kA",
            )


def _of(case: Case, words: str, stated: float, worked: float) -> Finding:
    if 1 / _FURTHER_APART < stated / worked < _FURTHER_APART:
        return RULE.passes(
            case, "supply", "supply", f"current and loop, {words}, agree", stated, worked, "kA"
        )
    return RULE.says(
        case,
        "advice",
        "supply",
        "supply",
        f"current and loop, {words}, contradict each other: one was read"
        " wrongly, or a joint is bad; find out before relying on either",
        stated,
        worked,
        "kA",
    )
