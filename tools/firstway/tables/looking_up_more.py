"""tables: the look-ups of board, tests, vehicle and supply; value and row travel together, or a
gap.

Words are those of the installation file. Nothing here rounds or interpolates.
"""

from __future__ import annotations

from firstway.tables.found import Gap, Read, gap, read_at_or_above, read_one
from firstway.tables.looking_up import standard_words
from firstway.tables.reading import Row, table

# Board and heat


def cooling_surface_factor(surface: str) -> Read | Gap:
    """Share of a surface that cools. surface: exposed-top, covered-top, exposed-side, front,
    covered-back, floor.
    """
    return read_one("cooling_surface", "factor", surface=surface)


def heat_transfer_w_per_m2_k(material: str) -> Read | Gap:
    """Heat through an enclosure in W/(m2.K); `band_share` of the row is its uncertainty.

    Illustrative only.
    """
    return read_one("heat_transfer", "w_per_m2_k", material=material)


def highest_pole_loss_w(rating_a: float) -> Read | Gap:
    """The highest loss a product standard lets one pole of a breaker have at its rating, in W: a
    ceiling.
    """
    for row in table("pole_loss").rows:
        if row.number("rating_above_a") < rating_a <= row.number("rating_up_to_a"):
            return Read(row.number("highest_w_per_pole"), row)
    return gap("pole_loss", rating_a=rating_a)


def assumed_loss(quantity: str) -> Read | Gap:
    """A figure no key holds, assumed: a loss, a length inside the board, a mass or what warming it
    takes. Unit in its row.
    """
    return read_one("assumed_loss", "value", quantity=quantity)


def board_size_mm(quantity: str) -> Read | Gap:
    """A size in mm for drawing a board to scale: module-width, window-height, rail-height,
    device-height and others.

    Nothing is judged on these; the maker's drawing decides.
    """
    return read_one("board_sizes", "value", quantity=quantity)


def loading_factor(standard: str, circuits: int) -> Read | Gap:
    """Assumed loading of an assembly by the number of outgoing circuits, where its maker states no
    diversity.
    """
    for row in table("loading_factor").where(standard=standard):
        if (
            row.number("circuits_from")
            <= circuits
            <= (row.number_or_none("circuits_up_to") or circuits)
        ):
            return Read(row.number("factor"), row)
    return gap("loading_factor", standard=standard, circuits=circuits)


def diversity_factor(rule_set: str, use: str = "charging-point") -> Read | Gap:
    """Diversity allowed on a charging point's circuit."""
    return read_one("diversity", "factor", rule_set=rule_set, use=use)


def service_condition(quantity: str) -> Read | Gap:
    """Normal service conditions in C: lowest-indoor-c, highest-c, highest-24-h-mean-c,
    lowest-outdoor-c, breaker-reference-c.
    """
    return read_one("service_conditions", "value", quantity=quantity)


def thermal_trip(column: str, standard: str = "IEC 60898-1") -> Read | Gap:
    """Slow tripping of a breaker. column: no_trip_x_in, trip_x_in, time_s, reference_c."""
    return read_one("thermal_trip", column, standard=standard)


# Fuses


def fuse_opens_at_a(rating_a: float, time_s: float) -> Read | Gap:
    """Current in ampere at which every gG fuse-link has melted within a time. time_s: 5 or 0.1."""
    return read_one("fuse_gates", "opens_at_a", rating_a=rating_a, time_s=time_s)


def fuse_breaking_capacity_ka(standard: str) -> Read | Gap:
    """Least breaking capacity in kA that the standard of a fuse allows."""
    reads_as, through = standard_words(standard)
    return read_one("fuse_breaking_capacity", "least_ka", through, standard=reads_as)


# Tests


def longest_trip_time_ms(delay: str, multiple_of_idn: float) -> Read | Gap:
    """Longest break time of a residual current device in ms, product standard. delay: none or S."""
    return read_one("rcd_times", "longest_ms", delay=delay, multiple_of_idn=multiple_of_idn)


def shortest_trip_time_ms(delay: str, multiple_of_idn: float) -> Read | Gap:
    """Shortest time a delayed device must wait, in ms; a gap for devices without delay."""
    return read_one("rcd_times", "shortest_ms", delay=delay, multiple_of_idn=multiple_of_idn)


def rcd_test_row(test: str, delay: str = "none") -> Row | Gap:
    """The row of a test: verification, no-trip, additional-protection-before-2022, older-device."""
    rows = table("rcd_tests").where(test=test, delay=delay)
    return rows[0] if rows else gap("rcd_tests", test=test, delay=delay)


def rcd_limit(quantity: str) -> Read | Gap:
    """A figure of rcd_limits.csv, e.g. additional-protection-ma, series-selectivity-ratio."""
    return read_one("rcd_limits", "value", quantity=quantity)


def rcd_type_order(residual_type: str) -> Read | Gap:
    """Place of a residual type in the order AC 1, A 2, F 3, B 4: each detects all that the one
    before does.
    """
    return read_one("rcd_types", "order", residual_type=residual_type)


def dc_detection_time_s(smooth_dc_ma: float) -> Read | Gap:
    """Longest time of a d.c. residual current detector in s, printed rows 6, 60 and 200 mA."""
    return read_one("dc_detection", "longest_s", smooth_dc_ma=smooth_dc_ma)


def insulation_test_voltage_v(circuit: str) -> Read | Gap:
    """Test voltage in V d.c. circuit: up-to-500-v, up-to-500-v-with-spd, selv-pelv."""
    return read_one("insulation_test", "test_v", circuit=circuit)


def least_insulation_mohm(circuit: str) -> Read | Gap:
    """Least insulation resistance in megohm."""
    return read_one("insulation_test", "least_mohm", circuit=circuit)


def voltage_share(rule_set: str, which: str) -> Read | Gap:
    """How far a network's voltage may lie from the nominal one. which: lowest or highest."""
    return read_one("voltage_range", f"{which}_share", rule_set=rule_set)


def electrode_advice_ohm() -> Read | Gap:
    """Electrode resistance above which the reading may drift with the season: advice."""
    return read_one("electrode_advice", "value", quantity="reading-may-drift-above-ohm")


# Vehicle


def pilot_current_a(duty_percent: float) -> Read | Gap:
    """Current offered by a pilot duty from 8 to 97 per cent; at 85 the lower branch.

    A gap elsewhere: no current.
    """
    for row in table("pilot_law").rows:
        if row.number("duty_from_percent") <= duty_percent <= row.number("duty_up_to_percent"):
            fixed = row.number_or_none("fixed_a")
            law = (
                fixed
                if fixed is not None
                else (
                    row.number("slope_a_per_percent")
                    * (duty_percent - row.number("offset_percent"))
                )
            )
            return Read(law, row)
    return gap("pilot_law", duty_percent=duty_percent)


def pilot_state_row(state: str) -> Row | Gap:
    """The row of a pilot state A to F: resistance_ohm, high_v, low_v, tolerance_v."""
    rows = table("pilot_state").where(state=state)
    return rows[0] if rows else gap("pilot_state", state=state)


def pilot_circuit(quantity: str) -> Read | Gap:
    """A figure of the pilot circuit, e.g. source-v, source-ohm, frequency-hz."""
    return read_one("pilot_circuit", "value", quantity=quantity)


def lead_current_a(proximity_ohm: float, phases: int) -> Read | Gap:
    """Current a charging cable carries by its coding resistor, in ampere; printed
    resistances only.
    """
    return read_one(
        "proximity",
        "three_phase_a" if phases == 3 else "single_phase_a",
        resistance_ohm=proximity_ohm,
    )


# Supply, soil, other limits


def declared_ze_ohm(system: str) -> Read | Gap:
    """Typical declared loop impedance in ohm: a figure of 1991, never guaranteed."""
    return read_one("supply_declared", "ze_ohm", system=system)


def supply_limit(quantity: str) -> Read | Gap:
    """nominal-v, lowest-v, highest-v or declared-fault-current-ka of a public supply."""
    return read_one("supply_limits", "value", quantity=quantity)


def soil_row(soil: str) -> Row | Gap:
    """The range of a soil: low_ohm_m, high_ohm_m."""
    rows = table("soil").where(soil=soil)
    return rows[0] if rows else gap("soil", soil=soil)


def rule_limit(rule_set: str, quantity: str) -> Read | Gap:
    """A single figure of a rule, from rule_limits.csv."""
    return read_one("rule_limits", "value", rule_set=rule_set, quantity=quantity)


def spd_conductor_mm2(spd_type: int, conductor: str) -> Read | Gap:
    """Least copper connection of an SPD in mm2. conductor: live or earth."""
    return read_one("spd_conductor", "csa_mm2", type=spd_type, conductor=conductor)


def least_nominal_discharge_current_ka(connection: str, part: str, phases: int) -> Read | Gap:
    """Least nominal discharge current in kA. CT1: part each; CT2: part line or neutral-earth."""
    return read_one(
        "spd_nominal_current", "least_ka", connection=connection, part=part, phases=phases
    )


def standards_of_device(device: str = "") -> tuple[str, ...]:
    """The standards a kind of device may be made to; of every kind where none is named."""
    rows = (
        table("device_standard").where(device=device) if device else table("device_standard").rows
    )
    return tuple(dict.fromkeys(row.text("standard") for row in rows))


def earthing_conductor_mm2(rule_set: str, laid: str) -> Read | Gap:
    """Least copper earthing conductor in mm2. laid: anywhere, buried-sheathed-and-protected,
    buried-sheathed, buried-bare.
    """
    return read_one("earthing_conductor", "copper_mm2", rule_set=rule_set, laid=laid)


def vehicle_lead_mm2(current_a: float) -> Read | Gap:
    """Size in mm2 in which makers build a flexible lead for a current in ampere."""
    return read_at_or_above("vehicle_lead", "csa_mm2", "current_up_to_a", current_a)
