"""Tables: which columns a cable is read in: the lower of its insulation's temperature and its
terminals'.
"""

from firstway.frozen import dataclass
from firstway.tables.looking_up import operating_limit_c
from firstway.tables.reading import Gap, Read

TERMINALS_NOT_STATED_C = 70.0
"""Counted in C for terminals of which the file says nothing: the coolest column of the tables."""
COOLER = "thermoplastic-70"
"""The insulation whose column is read where nothing allows a warmer one; 70 C in operation."""


@dataclass(frozen=True)
class CableColumns:
    """`insulation`: the word under which capacity, factors and drop are read; `limit`: operating
    temperature.
    """

    insulation: str
    limit: Read | Gap
    note: str


def cable_columns(insulation: str | None, terminals_c: float | None) -> CableColumns:
    """The columns to read for a cable (bs7671 and iec60364); None: the file does not say."""
    own = COOLER if insulation is None else insulation
    limit = operating_limit_c(own)
    if isinstance(limit, Gap):
        return CableColumns(own, limit, "")
    if terminals_c is not None:
        if terminals_c < limit.value:
            return CableColumns(
                COOLER,
                operating_limit_c(COOLER),
                f"read as {_spoken(COOLER)}: the terminals are made for {terminals_c:g} °C",
            )
        return CableColumns(own, limit, "")
    if limit.value > TERMINALS_NOT_STATED_C:
        return CableColumns(
            COOLER,
            operating_limit_c(COOLER),
            f"read as {_spoken(COOLER)}: the temperature of the terminals is not stated",
        )
    return CableColumns(own, limit, "")


def _spoken(insulation: str) -> str:
    return f"{insulation.replace('-', ' ')} °C"
