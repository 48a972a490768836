"""A pillar outdoors opens for those who may, and bears what meets it.

Why: a pillar stands where people pass and vehicles turn. A door that opens by hand is open to
children; a thin box is broken by a bumper or a boot, and live parts are bare.
A pass: opened by a key or a tool, IK08 or more, guarded from vehicles. A fail: by hand. Advice:
IK07, or nothing that keeps vehicles off.
"""

from firstway.checks.rule import Case, Findings, Rule, if_known
from firstway.model.values import is_known, key_of

RULE = Rule(
    "pillar-guarded",
    "A pillar opens only for those who may, and bears blows",
    "BS 7671 722.512, 416.2.4 (from memory); IEC 60364-4-41 A.2.4 (from memory)",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    enclosure = case.installation.board.enclosure
    if key_of(enclosure, "mounting") != "free-standing":
        return
    pillar = key_of(enclosure, "pillar")
    opens = key_of(pillar, "opens_with")
    yield RULE.decides(
        case,
        "board",
        "board",
        if_known(opens != "hand", opens),
        found="by hand",
        wanted="by a key or a tool",
        holds="the pillar opens by a key or a tool alone",
        breaks="the pillar opens by hand, and anybody can reach what is behind its door",
        ask="what the door of the pillar opens with",
    )
    blow, guarded = key_of(pillar, "impact"), key_of(pillar, "guarded_from_vehicles")
    for kept, value, holds, breaks in (
        (blow != "IK07", blow, "its code for blows is IK08 or more", "its code for blows is IK07"),
        (
            guarded is True,
            guarded,
            "its place keeps vehicles off it",
            "nothing keeps vehicles off it",
        ),
    ):
        if not is_known(value):
            yield RULE.does_not_know(case, "board", "board", f"of the pillar: whether {holds}")
        elif kept:
            yield RULE.passes(case, "board", "board", holds, "there", "there")
        else:
            yield RULE.says(case, "advice", "board", "board", f"{breaks}: choose or set it better")
