"""The network operator is told of every charging point, and asked first of some.

Why: the street was laid out for houses that rest at night. The operator must know what is added,
and must agree first where the supply is small, shared or doubtful. It counts one house's share in
the load of many, which is never the demand of one house. This rule only advises, and has no pass:
tell the operator within the days its form states; apply before fitting where the demand is above
the cut-out's rating, above the usual threshold in a dwelling, the supply is looped, or a vehicle
or another source can feed back. Operators' thresholds differ.
"""

from firstway.calculations.adding import added
from firstway.checks.faults import listed
from firstway.checks.rule import Case, Findings, Rule, of_file, of_step, of_table, within
from firstway.model.installation import Installation
from firstway.model.values import is_known, key_of
from firstway.tables.reading import Gap, rule_limit

RULE = Rule(
    "network-notice",
    "The network operator is told, and asked where it must be",
    "network operators' process for connecting charging points",
    "2022",
    "advice",
    ("bs7671",),
    standing="found",
)


def check(case: Case) -> Findings:
    installation = case.installation
    service, premises = installation.supply.service_device, installation.premises
    rating = of_file(key_of(service, "rating_a"), "the rating of the service device")
    demand = of_step(case, "maximum-demand", "supply", "the demand with the new points")
    threshold, days = (
        of_table(rule_limit("bs7671", quantity))
        for quantity in ("apply-first-above-a", "notify-within-days")
    )
    use = key_of(premises, "use")
    reasons: list[str] = []
    if (
        demand.value is not None
        and rating.value is not None
        and not within(demand.value, rating.value)
    ):
        reasons.append("the demand is above the rating of the cut-out")
    if (
        use == "dwelling"
        and demand.value is not None
        and threshold.value is not None
        and not within(demand.value, threshold.value)
    ):
        reasons.append(f"the demand of a dwelling is above {threshold.value:g} A")
    if installation.supply.looped is True:
        reasons.append("the supply is looped")
    if any(point.bidirectional is True for point in installation.charging_points):
        reasons.append("a vehicle can feed back, and generation has a form of its own")
    if installation.sources:
        names = listed([str(source.name) for source in installation.sources])
        reasons.append(
            f"{names} can feed the network, and generation has a form of its own:"
            f" {_consent(installation)}"
        )
    missing = [
        word
        for word, gone in (
            ("the demand", demand.value is None),
            ("the rating of the service device", rating.value is None),
            ("whether the supply is looped", not is_known(installation.supply.looped)),
            ("whether this is a dwelling", not is_known(use)),
        )
        if gone
    ]
    if reasons:
        yield RULE.says(
            case,
            "advice",
            "supply",
            "supply",
            f"apply to the network operator before fitting: {', '.join(reasons)} (operators'"
            " thresholds differ)",
            demand.value,
            threshold.value if use == "dwelling" else rating.value,
            "A",
        )
    elif missing:
        yield RULE.does_not_know(
            case,
            "supply",
            "supply",
            f"{', '.join(missing)}; without that ask the network operator whether to apply first",
            threshold.value if use == "dwelling" else rating.value,
            "A",
        )
    elif days.value is not None:
        yield RULE.says(
            case,
            "advice",
            "supply",
            "supply",
            f"tell the network operator within {days.value:g} days of fitting (read its own form:"
            " operators differ)",
            demand.value,
            threshold.value if use == "dwelling" else rating.value,
            "A",
        )


def _consent(installation: Installation) -> str:
    """Whether a notice afterwards may do, or the operator must agree before sources are joined."""
    bound, volts = rule_limit("bs7671", "sources-by-notice-a"), installation.supply.line_to_earth_v
    shares: dict[str, list[float]] = {}
    for source in installation.sources:
        power, lines = source.power_kw, source.lines
        if isinstance(bound, Gap) or not is_known(power) or not is_known(volts):
            return "their power is not known, so ask before they are joined"
        on = [str(line) for line in lines] if is_known(lines) and lines else ["L1"]
        for line in on:
            shares.setdefault(line, []).append(float(power) * 1000 / len(on) / float(volts))
    assert not isinstance(bound, Gap)
    ampere = max(added(each) for each in shares.values())
    if within(ampere, bound.value):
        return f"together {ampere:.1f} A a phase, within {bound.value:g} A: a notice may do"
    return (
        f"together {ampere:.1f} A a phase, above {bound.value:g} A: the operator must agree before"
        " they are joined"
    )
