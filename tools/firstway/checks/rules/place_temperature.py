"""The board hangs where the air stays within what it is made for.

Why: boards and devices are tried between set temperatures, and breakers open early when hot. A
plant room or a south wall can leave that range.
A pass: 25 °C indoors; or what the maker of the board declares it for. Advice: outside the range.
Warm for a whole day: not known; ask the maker. What each device and cable carries there is another
question.
"""

from firstway.checks.rule import Case, Findings, Rule, of_file, of_table, within
from firstway.model.values import is_known, key_of
from firstway.tables.reading import service_condition

RULE = Rule(
    "place-temperature",
    "The place is within the board's service conditions",
    "IEC 61439-1 (BS EN 61439-1), normal service conditions; UL 489: 40 °C (from memory)",
    "2011",
    "advice",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    place = case.installation.board.place
    air = of_file(
        key_of(place, "ambient_c"),
        "how warm the air gets where the board hangs; measure it on a hot day",
    )
    location = key_of(place, "location")
    low = of_table(
        service_condition("lowest-outdoor-c" if location == "outdoors" else "lowest-indoor-c")
    )
    high, mean = (
        of_table(service_condition(quantity)) for quantity in ("highest-c", "highest-24-h-mean-c")
    )
    assembly = case.installation.board.assembly
    warmest, coldest = key_of(assembly, "warmest_ambient_c"), key_of(assembly, "coldest_ambient_c")
    if is_known(warmest):
        high = mean = of_file(warmest, "")
    if is_known(coldest):
        low = of_file(coldest, "")
    ask = lambda message, limit: RULE.says(
        case, "unknown", "board", "board", f"not known: {message}", air.value, limit, "C"
    )
    if air.value is None or low.value is None or high.value is None or mean.value is None:
        yield ask(air.ask or low.ask or high.ask or mean.ask, high.value)
    elif not (within(low.value, air.value) and within(air.value, high.value)):
        yield RULE.says(
            case,
            "advice",
            "board",
            "board",
            f"it is too {'hot' if air.value > high.value else 'cold'} here for what boards and"
            " breakers are tried at, or this one is declared for: hang it elsewhere, or have its"
            " maker declare it",
            air.value,
            high.value if air.value > high.value else low.value,
            "C",
        )
    elif case.installation.rules != "nec" and not within(air.value, mean.value):
        yield ask(
            "whether the air stays this warm over a whole day; the mean over 24 hours has a limit"
            " of its own",
            mean.value,
        )
    else:
        yield RULE.passes(
            case,
            "board",
            "board",
            "its maker declares the board for this air"
            if is_known(warmest) or is_known(coldest)
            else "the air stays within the board's normal service conditions",
            air.value,
            high.value,
            "C",
        )
