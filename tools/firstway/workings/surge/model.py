"""Workings: the figures of the surge runs, read from their table into the solver's terms."""

from __future__ import annotations

from functools import cache

from firstway.calculations.surge import SurgeModel, Varistor
from firstway.tables.reading import Read, read_one


def model_row(quantity: str) -> Read:
    """One figure of surge_model.csv; a missing row is a bug of the table."""
    found = read_one("surge_model", "value", quantity=quantity)
    if not isinstance(found, Read):
        raise KeyError(found.message)
    return found


def model_value(quantity: str) -> float:
    """The same without its row, in the unit of the table."""
    return model_row(quantity).value


@cache
def surge_model() -> SurgeModel:
    """All figures in SI units."""
    value = model_value
    return SurgeModel(
        generator_farad=value("generator-capacitor-uf") * 1e-6,
        generator_volt_per_volt=value("generator-charge-v-per-v"),
        generator_discharge_ohm=value("generator-discharge-ohm"),
        generator_series_ohm=value("generator-series-ohm"),
        generator_henry=value("generator-inductance-uh") * 1e-6,
        generator_output_ohm=value("generator-output-ohm"),
        impulse_scale=value("impulse-scale-per-us3"),
        impulse_tau_s=value("impulse-tau-us") * 1e-6,
        long_correction=value("long-impulse-correction"),
        long_front_s=value("long-impulse-front-us") * 1e-6,
        long_tail_s=value("long-impulse-tail-us") * 1e-6,
        ring_scale=value("ring-scale"),
        ring_rise_s=value("ring-rise-us") * 1e-6,
        ring_fall_s=value("ring-fall-us") * 1e-6,
        ring_hertz=value("ring-khz") * 1e3,
        lead_henry_per_m=value("lead-inductance-uh-per-m") * 1e-6,
        lead_ohm_per_m=value("lead-resistance-ohm-per-m"),
        line_ohm=value("line-ohm"),
        line_m_per_s=value("line-m-per-us") * 1e6,
        contact_ohm=value("contact-ohm"),
        open_contact_farad=value("open-contact-pf") * 1e-12,
        open_contact_ohm=value("open-contact-ohm"),
        open_end_ohm=value("open-end-ohm"),
        capacitor_ohm=value("capacitor-ohm"),
        vehicle_varistor=Varistor(
            value("vehicle-varistor-v-at-1-a"),
            value("vehicle-varistor-alpha"),
            value("vehicle-varistor-ohm"),
        ),
        rectifier_volt=value("rectifier-v"),
        rectifier_ohm=value("rectifier-ohm"),
        rectifier_farad=value("rectifier-capacitor-uf") * 1e-6,
        rectifier_charged_volt=value("rectifier-charged-v"),
        steps=(
            (0.0, value("first-step-ns") * 1e-9),
            (value("middle-steps-from-us") * 1e-6, value("middle-step-ns") * 1e-9),
            (value("last-steps-from-us") * 1e-6, value("last-step-ns") * 1e-9),
        ),
        window_s=value("window-us") * 1e-6,
    )
