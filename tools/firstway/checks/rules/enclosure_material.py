"""The enclosure of a board in a dwelling must not burn.

Why: a loose joint in a board can glow for hours. A steel enclosure keeps the fire in; a plastic one
has fed it. The clause speaks of household premises and gives steel as the example.
A pass: steel. A fail: a plastic box indoors in a dwelling (unless it stands inside an enclosure
that does not burn). Outdoors or in an outbuilding the designer must justify it: not known.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import is_known, key_of

RULE = Rule(
    "enclosure-material",
    "The enclosure does not burn",
    "BS 7671 421.1.201; elsewhere common practice",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    enclosure, place, premises = (
        case.installation.board.enclosure,
        case.installation.board.place,
        case.installation.premises,
    )
    material = key_of(enclosure, "material")
    use = key_of(premises, "use")
    location = key_of(place, "location")
    say = lambda level, message: RULE.says(
        case, level, "board", "board", message, str(material), "steel"
    )
    ask = lambda message: RULE.does_not_know(case, "board", "board", message, "steel")
    if not is_known(material):
        yield ask("what the enclosure of the board is made of; look at it")
    elif material == "steel":
        yield RULE.passes(case, "board", "board", "the enclosure is of steel", "steel", "steel")
    elif material == "aluminium":
        yield say(
            "advice",
            "an enclosure of aluminium: steel is the example the clause gives; ask whether its"
            " maker declares it for a glowing joint",
        )
    elif use == "site" or case.installation.rules != "bs7671":
        yield say(
            "advice",
            "a plastic enclosure: a clause of one country forbids it in dwellings, its reason holds"
            " anywhere",
        )
    elif not is_known(use) or not is_known(location):
        yield ask("whether this is a dwelling, and whether the board hangs indoors")
    elif location == "outdoors":
        yield ask("how the designer justifies a plastic enclosure outdoors or in an outbuilding")
    else:
        yield say(
            "fail",
            "a plastic enclosure in a dwelling, unless it stands inside one that does not burn",
        )
