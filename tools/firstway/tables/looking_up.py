"""tables: one function for each table a calculation reads; value and row travel together, or a gap
says what is missing.

Nothing here rounds or interpolates. A function whose name says `next_warmer`, `next_longer` or
`next_larger` uses another row than the one asked for, on the safe side, and the row in the answer
says which. Words (constructions, methods, roles) are those of the installation file.
"""

from collections.abc import Callable

from firstway.tables.reading import (
    Gap,
    Read,
    ReadWord,
    Row,
    gap,
    read_at_or_above,
    read_one,
    read_word,
    standard_words,
    table,
)

# Cable: capacity, factors, drop, resistance


def printed_column(
    rule_set: str, construction: str, method: str
) -> tuple[str, str, tuple[Row, ...]]:
    """The construction and method under which a table prints this case, and the row that says so.

    BS 7671 prints one column D for D1 and D2; most cases are printed under their own words (no
    row).
    """
    rows = table("printed_column").where(
        rule_set=rule_set, construction=construction, method=method
    ) or table("printed_column").where(rule_set=rule_set, construction="any", method=method)
    if not rows:
        return construction, method, ()
    row = rows[0]
    printed = row.text("printed_construction")
    return construction if printed == "any" else printed, row.text("printed_method"), (row,)


def capacity_rows(
    rule_set: str, construction: str, insulation: str, method: str, loaded_conductors: int
) -> tuple[Row, ...]:
    """All sizes of one column of the current-carrying capacity tables, smallest first; () when
    there is no column.

    Column of the value: `capacity_a`, in ampere, at 30 C in air or 20 C in ground with 2.5 K.m/W.
    """
    printed, column, _ = printed_column(rule_set, construction, method)
    return table("current_capacity").where(
        rule_set=rule_set,
        construction=printed,
        insulation=insulation,
        method=column,
        loaded_conductors=loaded_conductors,
    )


def current_capacity_a(
    rule_set: str,
    construction: str,
    insulation: str,
    method: str,
    loaded_conductors: int,
    csa_mm2: float,
) -> Read | Gap:
    """Tabulated current-carrying capacity in ampere.

    loaded_conductors: 2 (one phase) or 3 (three phases; the neutral of a balanced load does not
    count). An armoured cable of any number of cores that feeds one phase uses 2.
    """
    printed, column, through = printed_column(rule_set, construction, method)
    return read_one(
        "current_capacity",
        "capacity_a",
        through,
        rule_set=rule_set,
        construction=printed,
        insulation=insulation,
        method=column,
        loaded_conductors=loaded_conductors,
        csa_mm2=csa_mm2,
    )


def ambient_factor(rule_set: str, insulation: str, where: str, temperature_c: float) -> Read | Gap:
    """Factor for the surrounding temperature, printed row only. where: air (reference 30 C) or
    ground (20 C).
    """
    return read_one(
        "ambient_factor",
        "factor",
        rule_set=rule_set,
        insulation=insulation,
        where=where,
        temperature_c=temperature_c,
    )


def ambient_factor_next_warmer(
    rule_set: str, insulation: str, where: str, temperature_c: float
) -> Read | Gap:
    """The same, but between two printed temperatures the warmer row, which is never the larger
    factor.
    """
    return read_at_or_above(
        "ambient_factor",
        "factor",
        "temperature_c",
        temperature_c,
        rule_set=rule_set,
        insulation=insulation,
        where=where,
    )


def grouping_factor(grouped_as: str, circuits: int) -> Read | Gap:
    """Factor for circuits run together, printed row only.

    grouped_as: bunched | single-layer (in air), ducts-touching | buried-touching (in ground).
    """
    return read_one("grouping_factor", "factor", grouped_as=grouped_as, circuits=circuits)


def grouping_factor_next_larger_group(grouped_as: str, circuits: int) -> Read | Gap:
    """The same, but between two printed numbers of circuits the larger group."""
    return read_at_or_above(
        "grouping_factor", "factor", "circuits", circuits, grouped_as=grouped_as
    )


def thermal_insulation_factor(length_mm: float) -> Read | Gap:
    """Factor for a cable wholly surrounded by thermal insulation over a length; the next longer
    printed length.

    0 mm reads 1 (nothing to correct); 500 mm or more reads the row of 500 mm.
    """
    return read_at_or_above(
        "thermal_insulation_factor", "factor", "length_mm", min(length_mm, 500.0)
    )


def soil_factor_next_drier(soil_k_m_per_w: float, method: str = "D1") -> Read | Gap:
    """The same, but between two printed resistivities the higher (drier) one."""
    return read_at_or_above(
        "soil_resistivity_factor",
        "factor",
        "soil_k_m_per_w",
        soil_k_m_per_w,
        method="D1" if method == "D" else method,
    )


def overload_device_factor(rule_set: str, standard: str, where: str) -> Read | Gap:
    """Share of the cable's capacity a device may use so that I2 <= 1.45 Iz holds. where: air or
    ground.
    """
    return _first(
        table("overload_device_factor").where(rule_set=rule_set, standard=standard, where=where),
        "factor",
    ) or read_one(
        "overload_device_factor", "factor", rule_set=rule_set, standard="other", where=where
    )


def voltage_drop_mv_per_a_m(
    rule_set: str, construction: str, insulation: str, phases: int, csa_mm2: float
) -> Read | Gap:
    """Tabulated drop in mV per ampere and metre: the single figure up to 16 mm2, the impedance z
    above it.

    phases 1: line and neutral together; phases 3: between lines.
    """
    return read_one(
        "voltage_drop",
        "mv_per_a_m",
        rule_set=rule_set,
        construction=construction,
        insulation=insulation,
        phases=phases,
        csa_mm2=csa_mm2,
    )


def resistance_20c_ohm_per_km(csa_mm2: float, conductor_class: str = "1 and 2") -> Read | Gap:
    """Largest resistance of a plain copper conductor at 20 C in ohm/km (= mohm/m). conductor_class:
    "1 and 2" or "5".
    """
    return read_one(
        "conductor_resistance", "ohm_per_km", conductor_class=conductor_class, csa_mm2=csa_mm2
    )


def armour_resistance_20c_ohm_per_km(cores: int, csa_mm2: float) -> Read | Gap:
    """Resistance of a steel wire armour at 20 C in ohm/km.

    The table has 2, 3 and 4 cores up to 6 mm2.
    """
    return read_one("armour_resistance", "ohm_per_km", cores=cores, csa_mm2=csa_mm2)


def most_armour_resistance_20c_ohm_per_km() -> Read:
    """The largest resistance of an armour at 20 C that the table prints, in ohm/km: a larger cable
    has more steel round it.
    """
    row = max(table("armour_resistance").rows, key=lambda row: row.number("ohm_per_km"))
    return Read(row.number("ohm_per_km"), row)


def thinnest_lead_20c_ohm_per_km() -> Read | Gap:
    """Resistance at 20 C of the thinnest core we know of in a vehicle's lead, in ohm/km: 1.5 mm2
    (common practice).
    """
    return resistance_20c_ohm_per_km(1.5, "5")


def reactance_ohm_per_km() -> Read | Gap:
    """Reactance of one conductor of a small cable, in ohm/km, where no table gives it."""
    return read_one("cable_constants", "value", constant="reactance-ohm-per-km")


def temperature_coefficient_per_k(awg: bool) -> Read | Gap:
    """Temperature coefficient of a conductor's resistance referred to 20 C, in 1/K: the trade's
    0.004, or copper's own 0.00393 where sizes are AWG and resistances are printed at 75 C.
    """
    which = "copper" if awg else "trade"
    return read_one("temperature_coefficient", "per_k", which=which)


def resistance_multiplier(insulation: str, role: str) -> Read | Gap:
    """Factor from the resistance at 20 C to that in operation, as on-site guidance prints it: the
    tests hold the worked factor to it, no working reads it. role: core-in-cable (or core) |
    separate.
    """
    return read_one("resistance_multiplier", "multiplier", insulation=insulation, role=_role(role))


def operating_limit_c(insulation: str) -> Read | Gap:
    """Highest conductor temperature in normal operation, in C."""
    return read_one("insulation_limits", "operating_c", insulation=insulation)


def reference_temperature_c(where: str) -> Read | Gap:
    """Surrounding temperature for which capacities are printed, in C. where: air or ground."""
    return read_one("reference_temperature", "temperature_c", where=where)


def standard_sizes_mm2(construction: str) -> tuple[Read, ...]:
    """The sizes of a construction in mm2, smallest first; () for an unknown construction."""
    return tuple(
        Read(row.number("csa_mm2"), row)
        for row in table("standard_sizes").where(construction=construction)
    )


def flat_twin_pair_mm2(csa_mm2: float) -> Read | Gap:
    """The protective conductor made into a flat twin and earth cable of that line size, in mm2."""
    return read_one(
        "standard_sizes", "cpc_mm2", construction="flat-twin-and-earth", csa_mm2=csa_mm2
    )


def voltage_drop_limit_percent(rule_set: str, use: str) -> Read | Gap:
    """Recommended limit of voltage drop in per cent of the nominal voltage.

    use: lighting | other | private-lighting | private-other; nec: branch | feeder-and-branch.
    """
    return read_one("voltage_drop_limit", "percent", rule_set=rule_set, use=use)


# Protection: devices, loops, times, adiabatic


def rating_not_below_a(device: str, standard: str, current_a: float) -> Read | Gap:
    """The smallest standard rating not below a current, in ampere (a device rating for a design
    current).
    """
    return _rating(device, standard, f"not below {current_a:g}", lambda rating: rating >= current_a)


def next_rating_up_a(device: str, standard: str, current_a: float) -> Read | Gap:
    """The smallest standard rating ABOVE a current, in ampere: above 32 A it is 40 A, not 32 A."""
    return _rating(device, standard, f"above {current_a:g}", lambda rating: rating > current_a)


def _rating(device: str, standard: str, wanted: str, enough: Callable[[float], bool]) -> Read | Gap:
    reads_as, through = standard_words(standard)
    for row in table("standard_ratings").where(standard=reads_as):
        if enough(row.number("rating_a")):
            return Read(row.number("rating_a"), row, through)
    return Gap("standard_ratings", f"device {device}, standard {standard}, rating_a {wanted}")


def trip_multiple(curve: str) -> Read | Gap:
    """Multiple of In at which a breaker of that curve is sure to trip at once."""
    return read_one("trip_multiple", "sure_trip_x_in", curve=curve)


def tabulated_zs_ohm(standard: str, curve: str, rating_a: float, time_s: float) -> Read | Gap:
    """Tabulated largest earth fault loop impedance in ohm, 230 V, conductors at operating
    temperature.

    curve: B, C or D; "none" for a fuse. time_s: 0.4 or 5.
    """
    reads_as, through = standard_words(standard)
    return read_one(
        "maximum_zs",
        "zs_ohm",
        through,
        standard=reads_as,
        curve=curve,
        rating_a=rating_a,
        time_s=time_s,
    )


def voltage_factor(which: str) -> Read | Gap:
    """Factor on the nominal voltage. which: c_min (smallest fault current) or c_max (largest)."""
    return read_one("voltage_factor", "factor", which=which)


def reading_factor() -> Read | Gap:
    """Factor on the largest loop impedance when a reading at room temperature is compared
    with it.
    """
    return read_one("reading_factor", "factor", reading="loop-impedance")


def disconnection_time_s(
    rule_set: str,
    system: str,
    circuit: str,
    feeds_socket: bool,
    rating_a: float,
    line_to_earth_v: float = 230.0,
) -> Read | Gap:
    """Longest disconnection time in second, by the wording of 411.3.2.

    system: TN-S, TN-C-S, TN or TT. circuit: final or distribution. Fixed equipment above 32 A, and
    circuits with sockets above 63 A, read the long time. Valid for 50 V < line_to_earth_v, a.c.
    """
    earthing = "TN" if system.startswith("TN") else system
    for row in table("disconnection_time").where(
        rule_set=rule_set,
        system=earthing,
        circuit=circuit,
        feeds="socket" if feeds_socket else "fixed",
    ):
        if rating_a <= (row.number_or_none("rating_up_to_a") or rating_a) and row.number(
            "above_v"
        ) < line_to_earth_v <= (row.number_or_none("up_to_v") or line_to_earth_v):
            return Read(row.number("time_s"), row)
    return gap(
        "disconnection_time",
        rule_set=rule_set,
        system=system,
        circuit=circuit,
        rating_a=rating_a,
        line_to_earth_v=line_to_earth_v,
    )


def adiabatic_k(role: str, insulation: str, material: str = "") -> Read | Gap:
    """Adiabatic factor k in A.s^0.5/mm2.

    role: live | core-in-cable (or core) | separate | armour | conduit | sheath.
    material: copper unless given; steel for armour and conduit, lead for sheath.
    """
    part = _role(role)
    usual = {"armour": "steel", "conduit": "steel", "sheath": "lead"}.get(part, "copper")
    return read_one(
        "adiabatic_k", "k", role=part, insulation=insulation, material=material or usual
    )


def adiabatic_constants(material: str) -> tuple[Read, Read] | Gap:
    """K in A.s^0.5/mm2 and beta in C of k = K sqrt(ln((beta + final) / (beta + initial)))."""
    constant = read_one("adiabatic_constants", "constant", material=material)
    beta = read_one("adiabatic_constants", "beta_c", material=material)
    return (
        gap("adiabatic_constants", material=material)
        if isinstance(constant, Gap) or isinstance(beta, Gap)
        else (constant, beta)
    )


def minimum_protective_conductor_by_selection(line_mm2: float) -> Read | Gap:
    """Protective conductor of the same material for a line conductor, in mm2, without calculation.

    The table prints a share of the line size or a fixed size; the value here is that rule worked
    out.
    """
    for row in table("minimum_protective_conductor").where(rule="by-selection"):
        if (
            row.number("line_above_mm2")
            < line_mm2
            <= (row.number_or_none("line_up_to_mm2") or line_mm2)
        ):
            fixed = row.number_or_none("fixed_mm2")
            return Read(row.number("share_of_line") * line_mm2 if fixed is None else fixed, row)
    return gap("minimum_protective_conductor", line_mm2=line_mm2)


def minimum_separate_protective_conductor_mm2(mechanically_protected: bool) -> Read | Gap:
    """Smallest separate copper protective conductor in mm2."""
    rule = "separate-protected" if mechanically_protected else "separate-unprotected"
    return read_one("minimum_protective_conductor", "fixed_mm2", rule=rule)


def main_bonding_mm2(supply_neutral_mm2: float) -> Read | Gap:
    """Smallest copper main bonding conductor in mm2 where the supply is TN-C-S (PME)."""
    return read_at_or_above(
        "main_bonding", "copper_mm2", "supply_neutral_up_to_mm2", supply_neutral_mm2
    )


def copper_resistivity_20c() -> Read | Gap:
    """Resistivity of copper at 20 C in ohm mm2/m (IEC 60028)."""
    return read_one("cable_constants", "value", constant="resistivity-20c-ohm-mm2-per-m")


# Earthing


def electrode_limit_ohm(
    rated_residual_current_ma: float, touch_voltage_v: float = 50.0
) -> Read | Gap:
    """Tabulated largest electrode resistance in ohm; the table rounds 50 V / IdN (30 mA: 1667)."""
    return read_one(
        "electrode_limit",
        "resistance_ohm",
        touch_voltage_v=touch_voltage_v,
        rated_residual_current_ma=rated_residual_current_ma,
    )


def open_pen(quantity: str) -> Read | Gap:
    """A figure of the open-PEN rules, e.g. open_pen("limit-v"), open_pen("acts-within-s"),
    open_pen("low-v").
    """
    return read_one("open_pen", "value", quantity=quantity)


# Surge


def spd_lead_limit_m(which: str) -> Read | Gap:
    """Total connecting lead length of an SPD in metre. which: preferred or longest."""
    return read_one("spd_limits", "value", quantity=f"lead-{which}-m")


def spd_limit(quantity: str) -> Read | Gap:
    """Any figure of spd_limits.csv, e.g. "lead-drop-kv-per-m", "protected-distance-m"."""
    return read_one("spd_limits", "value", quantity=quantity)


def impulse_charge_as(impulse_current_ka: float) -> Read | Gap:
    """Charge of a class I impulse by its peak, for the peaks the standard lists."""
    return read_one("spd_class_one", "charge_as", impulse_current_ka=impulse_current_ka)


def lightning_peak_ka(level: str) -> Read | Gap:
    """Peak of the largest stroke of a lightning protection level."""
    return read_one("lightning_level", "peak_ka", level=level)


def overvoltage_test_x_u0(system: str, between: str, cause: str) -> Read | Gap:
    """By how much more than line to earth an SPD is tested for longer than a surge lasts; cause:
    `fault in the installation`, `lost neutral`, `fault in the high-voltage network`.
    """
    return read_one("temporary_overvoltage", "x_u0", system=system, between=between, cause=cause)


def rated_impulse_voltage_kv(category: str, nominal_v: str = "230/400") -> Read | Gap:
    """Required rated impulse voltage in kV. category: I, II, III or IV."""
    return read_one("impulse_voltage", "kv", nominal_v=nominal_v, category=category)


# Conductor colours


def conductor_colour(rule_set_or_age: str, function: str, lines: int = 1) -> ReadWord | Gap:
    """Colour of a conductor. rule_set_or_age: harmonised | red-black | nec.

    function: L1, L2, L3, N, PE. lines: 1 or 3 (a single line conductor reads L1 whatever its line).
    """
    return read_word(
        "conductor_colours",
        "colour",
        age=rule_set_or_age,
        lines=lines,
        function=(
            "L1"
            if lines == 1 and function in ("L2", "L3") and rule_set_or_age != "nec"
            else function
        ),
    )


def _role(role: str) -> str:
    return "core-in-cable" if role == "core" else role


def _first(rows: tuple[Row, ...], column: str) -> Read | None:
    return Read(rows[0].number(column), rows[0]) if rows else None
