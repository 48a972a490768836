"""Workings: which tables a cable of the file is read in."""

from firstway.model.installation import Cable
from firstway.model.values import is_known
from firstway.tables.cable_columns import CableColumns, cable_columns


def cable_tables(cable: Cable) -> CableColumns:
    """The columns to read for a cable (bs7671 and iec60364)."""
    return cable_columns(
        str(cable.insulation) if is_known(cable.insulation) else None,
        float(cable.terminals_c) if is_known(cable.terminals_c) else None,
    )
