"""Checks: the most a cable could carry whatever is still unknown of its route: for a fail that
needs no further question.

Where a temperature is not told the coolest row counts, where one lies beyond the table its last
row: a cable that is too thin even then is too thin. Nothing passes by these figures.
"""

from collections.abc import Sequence

from firstway.model.installation import Amount, Cable, Installation, Stretch
from firstway.model.values import Absent, is_known
from firstway.tables.cable_columns import CableColumns
from firstway.tables.looking_up import (
    ambient_factor_next_warmer,
    capacity_rows,
    grouping_factor_next_larger_group,
    soil_factor_next_drier,
    thermal_insulation_factor,
)
from firstway.tables.reading import Read, table
from firstway.workings.bs_iec.cable import GROUND_METHODS
from firstway.workings.bs_iec.cable_tables import cable_tables


def most_it_could_carry(
    job: Installation, cable: Cable | Absent, route: Sequence[Stretch], loaded: int
) -> float | None:
    """In ampere, on the stretch that allows least; None where not even that can be told."""
    if not is_known(cable) or not is_known(cable.csa_mm2) or not is_known(cable.construction):
        return None
    columns = cable_tables(cable)
    rules = str(job.rules)
    found = [
        tabulated * _factors(rules, columns, stretch)
        for stretch in route
        if (tabulated := _tabulated(rules, cable, columns, stretch, loaded)) is not None
    ]
    return min(found, default=None)


def _tabulated(
    rules: str, cable: Cable, columns: CableColumns, stretch: Stretch, loaded: int
) -> float | None:
    """Of the size itself, or of the next larger one the table has."""
    rows = capacity_rows(
        rules, str(cable.construction), columns.insulation, str(stretch.method), loaded
    )
    enough = [
        row.number("capacity_a")
        for row in rows
        if is_known(cable.csa_mm2) and row.number("csa_mm2") >= cable.csa_mm2
    ]
    return min(enough, default=None)


def _factors(rules: str, columns: CableColumns, stretch: Stretch) -> float:
    ground = stretch.method in GROUND_METHODS
    warmth = stretch.ground_c if ground else stretch.ambient_c
    found = _ambient(rules, columns.insulation, "ground" if ground else "air", warmth) * _grouped(
        stretch, ground
    )
    if ground:
        return found * _soil(stretch)
    inside = stretch.thermal_insulation_length_mm
    lagged = thermal_insulation_factor(float(inside)) if is_known(inside) and inside else None
    return found * (lagged.value if isinstance(lagged, Read) else 1.0)


def _ambient(rules: str, insulation: str, where: str, warmth: Amount) -> float:
    factors = [
        row.number("factor")
        for row in table("ambient_factor").where(rule_set=rules, insulation=insulation, where=where)
    ]
    if not factors:
        return 1.0
    if not is_known(warmth):
        return max(factors)
    read = ambient_factor_next_warmer(rules, insulation, where, float(warmth))
    return read.value if isinstance(read, Read) else min(factors)


def _grouped(stretch: Stretch, ground: bool) -> float:
    count, how = stretch.grouped_circuits, stretch.grouped_as
    if not is_known(count) or count == 1 or not ground and not is_known(how):
        return 1.0
    group = (
        str(how)
        if not ground
        else "ducts-touching"
        if stretch.method == "D1"
        else "buried-touching"
    )
    read = grouping_factor_next_larger_group(group, int(count))
    if isinstance(read, Read):
        return read.value
    return min(
        (row.number("factor") for row in table("grouping_factor").where(grouped_as=group)),
        default=1.0,
    )


def _soil(stretch: Stretch) -> float:
    method = "D1" if stretch.method == "D" else str(stretch.method)
    factors = [
        row.number("factor") for row in table("soil_resistivity_factor").where(method=method)
    ]
    if not factors:
        return 1.0
    if not is_known(stretch.soil_k_m_per_w):
        return max(factors)
    read = soil_factor_next_drier(float(stretch.soil_k_m_per_w), method)
    return read.value if isinstance(read, Read) else min(factors)
