"""Calculations: every declared formula by its name, for tests and pages."""

from firstway.calculations import cable, earthing, faults, heat, load, nec, surge_law, surge_leads
from firstway.calculations.formula import Formula

FORMULAS: dict[str, Formula] = {
    formula.name: formula
    for module in (load, cable, faults, earthing, heat, nec, surge_leads, surge_law)
    for formula in module.FORMULAS
}
