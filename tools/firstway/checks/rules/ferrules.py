"""Fine strands are held by a terminal made for them, or by a ferrule.

Why: a screw parts fine strands, and those beside it carry nothing. Whether a terminal needs a
ferrule, or must not have one, its maker says. This rule only reminds: what its maker states is
advice at the bench; nothing stated: ask.
"""

from firstway.checks.devices import devices_of_board
from firstway.checks.rule import Case, Findings, Rule
from firstway.model.installation import Way
from firstway.model.values import is_known, key_of

RULE = Rule(
    "ferrules",
    "Fine strands are held as the maker says",
    "BS 7671 526.9.1; IEC 60364-5-52 526.9",
    "2018+A3:2024",
    "advice",
    ("bs7671", "iec60364"),
)
ADVICE = {
    "always": "fit a ferrule on every conductor",
    "stranded-only": "fit a ferrule on fine strands; solid and coarse conductors go in bare",
    "never": "fit no ferrule: the terminal is made for bare conductors",
}


def check(case: Case) -> Findings:
    stated = {
        device.name: key_of(device.terminals, "ferrule")
        for device in devices_of_board(case.installation.board)
        if not isinstance(device, Way) or device.device != "blank"
    }
    for word, advice in ADVICE.items():
        names = [name for name, ferrule in stated.items() if ferrule == word]
        if names:
            yield RULE.says(
                case,
                "advice",
                "board",
                "board",
                f"{', '.join(names)}: {advice}",
                word,
                "as the maker says",
            )
    silent = [name for name, ferrule in stated.items() if not is_known(ferrule)]
    if silent:
        yield RULE.does_not_know(
            case,
            "board",
            "board",
            f"whether the terminals of {', '.join(silent)} need a ferrule on fine strands; ask the"
            " maker",
            "as the maker says",
        )
