"""What the maker of a board has for it can guard a charging point.

Why: a board holds what its maker declares for it, and no device of another make. Some boards can
have residual current devices only as one that several circuits share, or breakers of one pole with
none at all. A shared device ends every charge when one circuit leaks, small leakages add up to a
trip that nobody explains, and the rule asks for one device a point. Then the point is fed from a
board of its own beside the old one.
A pass: a device that opens line and neutral for one circuit alone is to be had, or a residual
current device for each breaker. Advice: the old board has none, and the point hangs on one of its
ways. A fail: the new board has none, or holds a device that its maker does not have for it.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.model.installation import Way
from firstway.model.values import UNDECLARED, is_known, key_of

RULE = Rule(
    "devices-to-be-had",
    "What is to be had for the board can guard a point",
    "BS 7671 722.531.3.101, 536.4.203; IEC 60364-7-722 722.531.3.101",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)
_GUARDS = ("rcbo-all-poles", "rcd")
WANTED = "a device for one point"


def check(case: Case) -> Findings:
    had = key_of(case.installation.board.assembly, "devices_to_be_had")
    if had == UNDECLARED:
        yield RULE.does_not_know(
            case, "board", "board", "which devices its maker has for the board; ask", WANTED
        )
    elif is_known(had):
        foreign = [way.name for way in case.installation.board.ways if _kinds(way).isdisjoint(had)]
        yield RULE.decides(
            case,
            "board",
            foreign[0] if foreign else "board",
            not foreign and any(each in had for each in _GUARDS),
            found=" and ".join(foreign) or ", ".join(had),
            wanted=WANTED,
            holds="its maker has for this board what guards a point by itself",
            breaks=(
                f"the maker of the board has no such device for it: {' and '.join(foreign)}"
                if foreign
                else "the maker has no residual current device for this board: choose another board"
            ),
        )
    for board in case.each(case.installation.existing_boards):
        if not is_known(board.devices_to_be_had):
            continue
        able = any(each in board.devices_to_be_had for each in _GUARDS[:1])
        yield RULE.says(
            case,
            "pass",
            board.name,
            board.name,
            f"a device for one circuit alone is to be had for {board.name}; a board of its own is"
            " a choice"
            if able
            else f"for {board.name} only shared devices are to be had, or none: a board of its own"
            " beside it is the way",
            ", ".join(board.devices_to_be_had),
            WANTED,
        )


def _kinds(way: Way) -> frozenset[str]:
    """The words of what a maker may have that a way is one of; what none of them names passes."""
    opened, guarded = way.switched_poles, way.protected_poles
    several = is_known(opened) and is_known(guarded)
    opens_all = is_known(opened) and is_known(guarded) and opened > guarded
    if way.device == "rcbo":
        one = {"rcbo-all-poles"} if opens_all else {"rcbo-line-alone"}
        return frozenset(one if several else ("rcbo-all-poles", "rcbo-line-alone"))
    if way.device == "rcd":
        return frozenset({"rcd"})
    if way.device == "circuit-breaker":
        one = {"breaker-all-poles"} if opens_all else {"breaker"}
        return frozenset(one if several else ("breaker", "breaker-all-poles"))
    return frozenset(("rcbo-all-poles", "rcbo-line-alone", "rcd", "breaker", "breaker-all-poles"))
