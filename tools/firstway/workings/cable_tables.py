"""Workings: which tables a cable is read in: the lower of its insulation's temperature and its terminals'."""

from __future__ import annotations

from dataclasses import dataclass

from firstway.model.installation import Cable, Installation
from firstway.model.values import is_known
from firstway.tables.found import Gap, Read
from firstway.tables.looking_up import operating_limit_c

TERMINALS_NOT_STATED_C = 70.0
COOLER = "thermoplastic-70"


@dataclass(frozen=True)
class CableTables:
    """`insulation`: the word under which capacity, factors and drop are read; `limit`: operating temperature."""

    insulation: str
    limit: Read | Gap
    note: str


def cable_tables(installation: Installation, cable: Cable) -> CableTables:
    """The columns to read for a cable (bs7671 and iec60364)."""
    own = str(cable.insulation) if is_known(cable.insulation) else COOLER
    limit = operating_limit_c(own)
    if isinstance(limit, Gap):
        return CableTables(own, limit, "")
    if is_known(cable.terminals_c):
        if cable.terminals_c < limit.value:
            return CableTables(COOLER, operating_limit_c(COOLER),
                               f"read as {COOLER}: the terminals are made for {cable.terminals_c:g} C")
        return CableTables(own, limit, "")
    if limit.value > TERMINALS_NOT_STATED_C:
        return CableTables(COOLER, operating_limit_c(COOLER),
                           f"read as {COOLER}: the temperature of the terminals is not stated")
    return CableTables(own, limit, "")
