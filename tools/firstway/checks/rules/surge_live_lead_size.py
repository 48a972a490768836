"""The live leads of the surge protective device are as thick as its maker asks.

Why: they carry the surge and, when the device fails, the fault current until the back-up opens. The
sizes in the clause were not confirmed, so its maker decides here. A pass is not given. Advice:
thinner than the figure held from memory. Otherwise: ask the maker.
"""

from firstway.checks.rule import Case, Finding, Findings, Rule, within
from firstway.model.installation import Way
from firstway.model.values import is_known
from firstway.tables.reading import Gap, spd_conductor_mm2

RULE = Rule(
    "surge-live-lead-size",
    "The live leads of the surge protective device are thick enough",
    "the maker's data (534.4.10: sizes of live leads not confirmed)",
    "2018+A3:2024",
    "advice",
    ("bs7671", "iec60364"),
    confirm=True,
)


def check(case: Case) -> Findings:
    for way in case.each(case.installation.surge_ways):
        yield _of(case, way)


def _of(case: Case, way: Way) -> Finding:
    leads = (way.leads.line, way.leads.neutral) if is_known(way.leads) else ()
    sizes = [float(lead.csa_mm2) for lead in leads if is_known(lead) and is_known(lead.csa_mm2)]
    if len(sizes) < 2 or not is_known(way.type):
        return RULE.does_not_know(
            case,
            way.name,
            way.name,
            f"the sizes of the line and neutral leads of {way.name} and its type; look at the"
            " board",
            unit="mm2",
        )
    held = spd_conductor_mm2(int(way.type), "live")
    if isinstance(held, Gap):
        return RULE.does_not_know(
            case,
            way.name,
            way.name,
            f"the size its maker asks for the live leads of {way.name}",
            unit="mm2",
        )
    if not within(held.value, min(sizes)):
        return RULE.says(
            case,
            "advice",
            way.name,
            way.name,
            "a live lead is thinner than the figure held from memory: ask its maker",
            min(sizes),
            held.value,
            "mm2",
        )
    return RULE.says(
        case,
        "unknown",
        way.name,
        way.name,
        f"not known: the size its maker asks for the live leads of {way.name}; read the data sheet",
        min(sizes),
        held.value,
        "mm2",
    )
