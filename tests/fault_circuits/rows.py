"""Published figures the circuits are made from, typed from their sources."""

from __future__ import annotations

# BS EN 60228:2005 Tables 1 and 2 (classes 1 and 2, plain copper): ohm/km at 20 C by mm2.
COPPER_OHM_PER_KM = {
    1.5: 12.1,
    2.5: 7.41,
    4: 4.61,
    6: 3.08,
    10: 1.83,
    16: 1.15,
    25: 0.727,
    35: 0.524,
}
# BS EN 60228:2005 Table 3 (class 5, flexible, plain copper): ohm/km at 20 C by mm2.
FLEXIBLE_OHM_PER_KM = {2.5: 7.98, 4: 4.95, 6: 3.30, 10: 1.91}
# Steel wire armour of copper cables with 90 C insulation, ohm/km at 20 C by (cores, mm2): handbook
# to the 17th edition of the wiring regulations, Appendix 4 Table 4.4.
ARMOUR_OHM_PER_KM = {(2, 6): 7.0, (3, 4): 7.5, (3, 6): 6.7, (4, 4): 6.8, (4, 6): 4.3}
# NFPA 70 Chapter 9 Table 8, stranded uncoated copper: ohm/km of direct current at 75 C (from
# memory).
AWG_OHM_PER_KM_75C = {"10": 4.070, "8": 2.551, "6": 1.608, "4": 1.010, "3": 0.8038, "2": 0.6365}

# BS 7671 Appendix 4, 6.1 takes copper's resistance as proportional to 230 + t.
COPPER_ZERO_C = 230.0
# Steel: 0.0045 for each degree (IEC 60949 Table 1, from memory). Armour of a cable in service at
# 70 C is taken at 60 C (BS 7671 Table 54.4).
STEEL_PER_K = 0.0045
ARMOUR_AT_70_C = 60.0
# NFPA 70 Chapter 9 Table 8 note: R2 = R1 [1 + 0.00323 (t2 - 75)] (from memory).
AWG_PER_K = 0.00323

LOWEST_VOLTAGE = 0.95  # BS 7671:2018 Appendix 3, C_min
HIGHEST_VOLTAGE = 1.10  # IEC 60909-0:2016 Table 1, c_max where the tolerance is 10 %

# BS 7430:2011 Table 3, vertical rods in a line: factor by their number.
IN_LINE = {2: 1.00, 3: 1.66, 4: 2.15, 5: 2.54}
