"""A point counted at a setting, or at what a system allows, keeps to it.

Why: cable, device and service were chosen for the set current. A setting counts only if access to
it is restricted and the rating label shows it; a managed current only if the system is made and
documented for it. Otherwise the nameplate counts.
Advice: setting locked: see that the label shows it; a setting that anybody can change. Not known:
nobody looked.
"""

from firstway.checks.rule import AUTHORITY, Case, Finding, Findings, NecRule
from firstway.model.installation import LoadLimiter
from firstway.model.values import is_known

RULE = NecRule(
    "nec-load-management",
    "A setting or a managed current is kept",
    "NFPA 70 625.42(A) and (B), 750.30",
    "2023",
    "fail",
)
READ_SINCE = 2023


def check(case: Case) -> Findings:
    older = case.edition_year < READ_SINCE
    for point in case.each(case.installation.charging_points):
        current = point.current_a if is_known(point.current_a) else None
        if point.setting_locked is True and older:
            yield RULE.does_not_know(
                case,
                point.name,
                point.name,
                "whether this edition lets the point count at a locked setting: editions before"
                f" 2023 allow it more narrowly; {AUTHORITY}",
                current,
                "A",
            )
        elif point.setting_locked is True:
            yield RULE.says(
                case,
                "advice",
                point.name,
                point.name,
                "the setting counts because access to it is restricted: see that the rating label"
                " shows it",
                current,
                current,
                "A",
            )
        elif point.setting_locked is False:
            yield RULE.says(
                case,
                "advice",
                point.name,
                point.name,
                "anybody can change the setting, so the current on the nameplate counts: choose"
                " device and conductors for it, or restrict access",
                current,
                None,
                "A",
            )
        else:
            yield RULE.does_not_know(
                case,
                point.name,
                point.name,
                "the current on the nameplate: it counts, not the setting, unless access to the"
                " setting is restricted and the label shows it",
                current,
                "A",
            )
    if is_known(case.installation.load_limiter):
        yield _system(case, case.installation.load_limiter)


def _system(case: Case, limiter: LoadLimiter) -> Finding:
    limit = limiter.limit_a if is_known(limiter.limit_a) else None
    if limiter.documented is True:
        return RULE.says(
            case,
            "advice",
            "supply",
            "supply",
            "the energy management system counts at what it allows: keep its marking and"
            " instructions with the panel",
            limit,
            limit,
            "A",
        )
    if limiter.documented is False:
        return RULE.says(
            case,
            "fail",
            "supply",
            "supply",
            "an energy management system without marking and instructions may not be counted on",
            limit,
            None,
            "A",
        )
    return RULE.does_not_know(
        case,
        "supply",
        "supply",
        "whether the energy management system is marked and documented",
        limit,
        "A",
    )
