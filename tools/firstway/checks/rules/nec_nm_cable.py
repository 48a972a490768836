"""NM cable is read in the 60 °C column, and a state reads it otherwise.

Why: NM cable has conductors made for 90 °C, and marked terminals allow 75 °C, yet its ampacity may
not pass the 60 °C column. So 6 AWG carries 55 A, not 65 A: too little for a 48 A point, which
counts as 60 A. One state's bulletin reads the articles another way and takes the 75 °C column. This
program does not: where it matters, ask the authority.
A pass: 4 AWG for 48 A, enough in either reading. Advice: a size that only the other reading would
allow.
"""

from firstway.checks.rule import Case, Finding, Findings, NecRule, within
from firstway.model.values import is_known, key_of
from firstway.tables.looking_up_nec import ampacity_a
from firstway.tables.reading import Gap
from firstway.workings.nec.cable import awg_of

RULE = NecRule(
    "nec-nm-cable",
    "NM cable is read in the 60 °C column",
    "NFPA 70 334.80, 310.16",
    "2020",
    "advice",
)
OTHER_COLUMN_C = 75


def check(case: Case) -> Findings:
    for of, _ in case.each(case.parts):
        feed = case.installation.feed
        cable = key_of(feed, "cable") if of == "feed" else case.installation.circuit(of).cable
        if is_known(cable) and cable.wiring_method == "nm-cable":
            yield _of(case, of)


def _of(case: Case, of: str) -> Finding:
    own, needed, size = (
        case.step(step_id, of)
        for step_id in ("terminal-capacity", "continuous-load-current", "conductor-size")
    )
    assert own is not None and needed is not None and size is not None
    if own.value is None or needed.value is None:
        return RULE.does_not_know(case, of, of, own.ask or needed.ask, unit="A")
    if within(needed.value, own.value):
        return RULE.passes(
            case,
            of,
            of,
            "the size serves in the 60 °C column, so no dispute about a hotter one touches it",
            own.value,
            needed.value,
            "A",
        )
    other = ampacity_a(awg_of(size), OTHER_COLUMN_C)
    if isinstance(other, Gap) or not within(needed.value, other.value):
        return RULE.says(
            case,
            "advice",
            of,
            of,
            "too small in the 60 °C column and in the 75 °C column",
            own.value,
            needed.value,
            "A",
        )
    return RULE.says(
        case,
        "advice",
        of,
        of,
        f"one state reads the articles so that the 75 °C column ({other.value:g} A) serves; this"
        " program keeps to the 60 °C column: ask the authority having jurisdiction before relying"
        " on the other reading",
        own.value,
        needed.value,
        "A",
    )
