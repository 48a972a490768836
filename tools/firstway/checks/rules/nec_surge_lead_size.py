"""The leads of the surge protective device are 14 AWG copper at least.

Why: they carry the surge and, when the device fails, the fault current until something opens. A
thinner wire fuses first.
A pass: 10 AWG. A fail: 18 AWG. The maker's instructions may ask for more.
"""

from firstway.checks.rule import Case, Finding, Findings, JudgedFigure, NecRule, of_table, within
from firstway.model.installation import Way
from firstway.model.values import is_known, key_of
from firstway.tables.looking_up_nec import area_mm2, is_thinner_than_every_size

RULE = NecRule(
    "nec-surge-lead-size",
    "The leads of the surge protective device are thick enough",
    "NFPA 70 242 Part II (285.26 until 2017, from memory)",
    "2020",
    "fail",
)
LEAST_AWG = "14"


def check(case: Case) -> Findings:
    for way in case.each(case.installation.surge_ways):
        yield _of(case, way)


def _of(case: Case, way: Way) -> Finding:
    asked = f"{LEAST_AWG} AWG"
    least = of_table(area_mm2(LEAST_AWG))
    sizes = {
        name: key_of(key_of(way.leads, name), "size_awg") for name in ("line", "neutral", "earth")
    }
    missing = [name for name, size in sizes.items() if not is_known(size)]
    for name, size in sizes.items():
        if is_known(size) and (is_thinner_than_every_size(str(size)) or _thinner(str(size), least)):
            return RULE.says(
                case,
                "fail",
                way.name,
                way.name,
                f"the {name} lead is thinner than {asked}: it fuses first",
                f"{size} AWG",
                asked,
            )
    if missing:
        return RULE.does_not_know(
            case,
            way.name,
            way.name,
            f"the size of the {' and '.join(missing)} lead of {way.name}",
            asked,
        )
    return RULE.passes(
        case,
        way.name,
        way.name,
        f"no lead is thinner than {asked}; the maker may ask for more",
        f"{sizes['line']} AWG",
        asked,
    )


def _thinner(size_awg: str, least: JudgedFigure) -> bool:
    own = of_table(area_mm2(size_awg))
    return own.value is not None and least.value is not None and not within(least.value, own.value)
