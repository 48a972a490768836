"""A dwelling's service, new or replaced, has a surge protective device; a new feeder may ask for
one too.

Why: a surge that enters with the service reaches every device, the vehicle among them. The code
asks for type 1 or type 2 at the service or at the next level downstream; from 2023 with a nominal
discharge current of at least 10 kA. Whether adding a panel alone asks for one is read in different
ways.
A pass: type 2, 20 kA, in the panel. Not known: a new panel without one under an old service.
"""

from firstway.checks.rule import Case, Finding, Findings, NecRule, within
from firstway.model.installation import Way
from firstway.model.values import NONE, is_known, key_of
from firstway.tables.reading import Gap, rule_limit

RULE = NecRule(
    "nec-surge-protection",
    "A dwelling has a surge protective device where the edition asks for one",
    "NFPA 70 230.67 (2020), 215.18 (2023)",
    "2023",
    "fail",
)
SERVICES_SINCE, FEEDERS_SINCE = 2020, 2023


def check(case: Case) -> Findings:
    premises = case.installation.premises
    use = key_of(premises, "use")
    if use == "site" or case.edition_year < SERVICES_SINCE:
        return
    if not is_known(use):
        yield RULE.does_not_know(case, "board", "board", "whether the premises are a dwelling")
        return
    ways = case.installation.surge_ways
    yield _with(case, ways[0]) if ways else _without(case)


def _with(case: Case, way: Way) -> Finding:
    limit = rule_limit("nec", "spd-nominal-discharge-ka")
    needed = None if isinstance(limit, Gap) or case.edition_year < FEEDERS_SINCE else limit.value
    if not is_known(way.type):
        return RULE.does_not_know(
            case, way.name, way.name, f"the type of {way.name}; read its label", needed, "kA"
        )
    if way.type not in (1, 2):
        return RULE.says(
            case,
            "fail",
            way.name,
            way.name,
            "only type 1 or type 2 serves here",
            float(way.type),
            2.0,
            "",
        )
    rated = way.nominal_discharge_current_ka
    if needed is not None and not is_known(rated):
        return RULE.does_not_know(
            case,
            way.name,
            way.name,
            f"the nominal discharge current of {way.name}; read its label",
            needed,
            "kA",
        )
    if needed is not None and is_known(rated) and not within(needed, rated):
        return RULE.says(
            case,
            "fail",
            way.name,
            way.name,
            "its nominal discharge current is below what the edition asks for",
            rated,
            needed,
            "kA",
        )
    least = rule_limit("nec", "spd-least-nominal-discharge-ka")
    if is_known(rated) and not isinstance(least, Gap) and not within(least.value, rated):
        return RULE.says(
            case,
            "advice",
            way.name,
            way.name,
            "its nominal discharge current is below the least class of the product standard: look"
            " at its label again",
            rated,
            least.value,
            "kA",
        )
    return RULE.passes(
        case,
        way.name,
        way.name,
        "a surge protective device of the asked type stands in this panel",
        rated if is_known(rated) else None,
        needed,
        "kA",
    )


def _without(case: Case) -> Finding:
    premises = case.installation.premises
    work = key_of(premises, "service_work")
    if work in ("new", "replaced"):
        return RULE.does_not_know(
            case,
            "board",
            "board",
            "230.67 asks for a surge protective device at a new or replaced service: none stands in"
            " this panel; look for one at the service equipment",
            "type 1 or 2",
        )
    if work != NONE:
        return RULE.does_not_know(
            case,
            "board",
            "board",
            "whether the service is new or replaced; 230.67 then asks for a surge protective"
            " device",
            "type 1 or 2",
        )
    clause = (
        "215.18 speaks of feeders that supply dwellings; whether a new panel alone falls under it"
        " is disputed"
        if case.edition_year >= FEEDERS_SINCE
        else "this edition speaks of services only"
    )
    return RULE.does_not_know(
        case,
        "board",
        "board",
        f"{clause}: ask the authority having jurisdiction; fitting one is good practice",
        "type 1 or 2",
    )
