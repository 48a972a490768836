"""tables: the look-ups of rule set nec (conductor sizes are words: "6", "1/0"); value and row
travel together, or a gap.

All tables were read in the 2020 edition unless the row says otherwise; ask which edition is
adopted.
"""

from firstway.tables.reading import Gap, Read, ReadWord, gap, read_at_or_above, read_one, table


def ampacity_a(size_awg: str, column_c: float) -> Read | Gap:
    """Ampacity of copper in ampere, at most three current-carrying conductors, 30 C. column_c: 60,
    75 or 90.
    """
    return read_one("nec_ampacity", "ampacity_a", size_awg=size_awg, column_c=column_c)


def sizes_awg() -> tuple[str, ...]:
    """The sizes of the table as words, smallest conductor first."""
    return tuple(row.text("size_awg") for row in table("nec_conductor").rows)


def awg_of_area(area_mm2: float) -> str:
    """The size whose area this is, as a word; "" where the table has none.

    >>> awg_of_area(5.26), awg_of_area(53.51), awg_of_area(6)
    ('10', '1/0', '')
    """
    return next(
        (
            row.text("size_awg")
            for row in table("nec_conductor").rows
            if row.number("area_mm2") == area_mm2
        ),
        "",
    )


def insulation_column_c(insulation: str) -> Read | Gap:
    """The ampacity column of an insulation, in C."""
    return read_one("nec_insulation_column", "column_c", insulation=insulation)


def wiring_method_limit_c(wiring_method: str) -> Read | Gap:
    """The highest column whose ampacity a wiring method may use, in C (nm-cable: 60)."""
    return read_one("nec_wiring_method_limit", "column_c", wiring_method=wiring_method)


def unmarked_termination_c(device_a: float) -> Read | Gap:
    """The column for terminals that bear no temperature mark, in C, by the rating of the device."""
    for row in table("nec_termination").rows:
        if device_a <= (row.number_or_none("device_up_to_a") or device_a):
            return Read(row.number("unmarked_column_c"), row)
    return gap("nec_termination", device_a=device_a)


def ambient_factor_of_band(column_c: float, ambient_c: float) -> Read | Gap:
    """Correction for air temperature: the printed band that holds it (36 to 40 C is one band)."""
    return read_at_or_above(
        "nec_ambient_factor", "factor", "ambient_up_to_c", ambient_c, column_c=column_c
    )


def adjustment_factor_of_band(current_carrying: int) -> Read | Gap:
    """Adjustment for more than three current-carrying conductors: the printed band that holds the
    number.
    """
    return read_at_or_above(
        "nec_adjustment_factor", "factor", "current_carrying_up_to", current_carrying
    )


def grounding_conductor_awg(device_a: float) -> ReadWord | Gap:
    """Copper equipment grounding conductor for a device: the row of the next larger
    printed rating.
    """
    for row in table("nec_grounding_conductor").rows:
        if row.number("device_up_to_a") >= device_a:
            return ReadWord(row.text("size_awg"), row)
    return gap("nec_grounding_conductor", **{"device_a not below": device_a})


def small_conductor_device_a(size_awg: str) -> Read | Gap:
    """Largest device for 14, 12 and 10 AWG in ampere; a gap for larger conductors, which have no
    such limit.
    """
    return read_one("nec_small_conductor", "device_up_to_a", size_awg=size_awg)


def resistance_75c_ohm_per_km(size_awg: str) -> Read | Gap:
    """Direct-current resistance of stranded uncoated copper at 75 C in ohm/km."""
    return read_one("nec_conductor", "stranded_75c_ohm_per_km", size_awg=size_awg)


def is_thinner_than_every_size(size_awg: str) -> bool:
    """Whether a gauge is thinner than the thinnest conductor of the table: a plain number above its
    largest.
    """
    largest = max(int(size) for size in sizes_awg() if size.isdigit())
    return size_awg.isdigit() and int(size_awg) > largest


def area_mm2(size_awg: str) -> Read | Gap:
    """Conductor area in mm2, from its circular mils."""
    return read_one("nec_conductor", "area_mm2", size_awg=size_awg)


def continuous_load_factor() -> Read | Gap:
    """Factor on a continuous load for conductor and device (1.25)."""
    return read_one("nec_load", "value", quantity="continuous-load-factor")


def charging_load_least_va() -> Read | Gap:
    """Least load of a dwelling's charging point in the service calculation, in VA."""
    return read_one("nec_load", "value", quantity="charging-load-least-va")


def existing_demand_factor() -> Read | Gap:
    """Factor on a recorded maximum demand when new load is added to it (1.25)."""
    return read_one("nec_load", "value", quantity="existing-demand-factor")


def electrode_conductor_awg(service_mm2: float) -> ReadWord | Gap:
    """Copper grounding electrode conductor by the area of the largest ungrounded service conductor,
    in mm2 of copper.

    >>> electrode_conductor_awg(107.2).value, electrode_conductor_awg(0.0).value
    ('2', '8')
    """
    for row in table("nec_electrode_conductor").rows:
        if row.number("service_up_to_mm2") >= service_mm2:
            return ReadWord(row.text("size_awg"), row)
    return gap("nec_electrode_conductor", **{"service_mm2 not below": service_mm2})


def dwelling_service_share() -> Read | Gap:
    """Ampacity asked of a dwelling's service conductors, as a share of the service's
    rating (0.83).
    """
    return read_one("nec_load", "value", quantity="dwelling-service-share")
