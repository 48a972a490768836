"""The service conductors carry what the service device lets through.

Why: nothing ahead of them holds the current below the rating of the service device. A new load that
runs for hours finds the wire that was always a little too small.
A pass: 2/0 AWG under 200 A in a dwelling. A fail: 6 AWG under 150 A. Not known where nobody read
their size.
"""

from firstway.checks.rule import (
    Case,
    Findings,
    JudgedFigure,
    NecRule,
    of_step,
    of_table,
    times,
    within,
)
from firstway.model.installation import Cable, Stretch
from firstway.model.values import is_known, key_of
from firstway.tables.looking_up_nec import (
    adjustment_factor_of_band,
    ambient_factor_of_band,
    ampacity_a,
    dwelling_service_share,
    insulation_column_c,
    is_thinner_than_every_size,
    unmarked_termination_c,
    wiring_method_limit_c,
)
from firstway.tables.reading import Gap
from firstway.workings.nec.cable import largest_device_a

RULE = NecRule(
    "nec-service-conductor",
    "The service conductors carry the rating of the service",
    "NFPA 70 230.42, 230.90(A), 310.12 (from memory)",
    "2020",
    "fail",
)
_ASK = "the service conductors: their size, insulation and wiring method; read their marking"


def check(case: Case) -> Findings:
    cable, rating = (
        case.installation.supply.cable,
        of_step(case, "service-rating", "supply", "the rating of the service device"),
    )
    if not is_known(cable) or not is_known(cable.size_awg):
        yield RULE.does_not_know(case, "supply", "supply", _ASK, rating.value, "A")
        return
    at_terminals, carried = _ampacity(case, cable, rating)
    if rating.value is None or at_terminals.value is None:
        yield RULE.does_not_know(
            case,
            "supply",
            "supply",
            rating.ask or at_terminals.ask,
            rating.value,
            "A",
            at_terminals.value,
        )
        return
    for figure in (at_terminals, carried):
        serves = (
            figure
            if figure.value is None
            else _serves(case, str(cable.size_awg), figure.value, rating.value)
        )
        if serves.value is None:
            yield RULE.does_not_know(
                case, "supply", "supply", serves.ask, rating.value, "A", at_terminals.value
            )
            return
        if not within(rating.value, serves.value):
            yield RULE.says(
                case,
                "fail",
                "supply",
                "supply",
                "the service conductors carry less than the service device lets through",
                figure.value,
                rating.value,
                "A",
            )
            return
    yield RULE.passes(
        case,
        "supply",
        "supply",
        "the service conductors carry what the service device lets through, as far as the code"
        " asks",
        carried.value,
        rating.value,
        "A",
    )


def _serves(case: Case, size_awg: str, ampacity: float, rating: float) -> JudgedFigure:
    """The largest rating in A that conductors of an ampacity may serve: by the share of a dwelling,
    else the next standard rating.
    """
    use = key_of(case.installation.premises, "use")
    if use == "dwelling":
        share = of_table(dwelling_service_share())
        return share if share.value is None else JudgedFigure(ampacity / share.value)
    if within(rating, ampacity):
        return JudgedFigure(ampacity)
    return of_table(largest_device_a(size_awg, ampacity))


def _ampacity(case: Case, cable: Cable, rating: JudgedFigure) -> tuple[JudgedFigure, JudgedFigure]:
    """Ampacity in A in the column of terminals and wiring method, and where the conductors
    are run.
    """
    size, insulation = str(cable.size_awg), of_table(insulation_column_c(str(cable.insulation)))
    if is_thinner_than_every_size(size):
        return JudgedFigure(0.0), JudgedFigure(0.0)
    columns = [
        insulation,
        of_table(wiring_method_limit_c(str(cable.wiring_method))),
        JudgedFigure(float(cable.terminals_c))
        if is_known(cable.terminals_c)
        else _unmarked(rating),
    ]
    known = [each.value for each in columns if each.value is not None]
    if insulation.value is None or len(known) < len(columns):
        return JudgedFigure(None, _ASK), JudgedFigure(None, _ASK)
    at_terminals = of_table(ampacity_a(size, min(known)))
    corrected = [
        _run(case, stretch, of_table(ampacity_a(size, insulation.value)), insulation.value)
        for stretch in case.installation.supply.route
    ]
    if not corrected:
        return at_terminals, JudgedFigure(
            None, "how the service conductors are run, and how warm it is there"
        )
    worst = next((each for each in corrected if each.value is None), None) or min(
        corrected, key=lambda each: each.value or 0.0
    )
    if worst.value is None or at_terminals.value is None:
        return at_terminals, worst
    return at_terminals, JudgedFigure(min(worst.value, at_terminals.value))


def _run(case: Case, stretch: Stretch, ampacity: JudgedFigure, column_c: float) -> JudgedFigure:
    if not is_known(stretch.ambient_c) or not is_known(stretch.current_carrying):
        return JudgedFigure(
            None, "how warm it is where the service conductors are run, and how many run together"
        )
    warm = of_table(ambient_factor_of_band(column_c, float(stretch.ambient_c)))
    together = (
        adjustment_factor_of_band(int(stretch.current_carrying))
        if stretch.current_carrying > 3
        else None
    )
    crowded = JudgedFigure(1.0) if together is None else of_table(together)
    return times(times(ampacity, warm), crowded)


def _unmarked(rating: JudgedFigure) -> JudgedFigure:
    if rating.value is None:
        return rating
    found = unmarked_termination_c(rating.value)
    return JudgedFigure(None, _ASK) if isinstance(found, Gap) else JudgedFigure(found.value)
