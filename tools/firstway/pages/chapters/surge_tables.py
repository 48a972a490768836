"""Pages: tables of surge runs for a chapter: rules of thumb with where they hold and where they
fail, and who takes what where two devices share.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from firstway.calculations.surge import GapLaw, Refused, SurgeCase, Varistor
from firstway.calculations.surge_law import INDUCED_VOLTAGE, LEADS_SIDE_BY_SIDE, LOOP_BESIDE
from firstway.choosing.completing import Completed
from firstway.rendering.figures import full, number_text, with_unit
from firstway.rendering.html import Markup, table_html, tag
from firstway.workings.surge.model import model_value
from firstway.workings.surge.runs import KeptRun, run_of
from firstway.workings.surge.steps import case_at

SOURCES_OF_RUNS = ("assumed-surge", "iec61000-4-5", "iec62305-1")
_LOWER, _HIGHER = 0.8, 1.2  # of the voltage of the device in the board
_NEAR_M, _TEN_M, _FAR_M = (2.0, 1.0), (6.7, 3.3), (50.0, 7.5)  # supply cable, charging cable
_EARTHS = (10.0, 60.0)  # ohm: of the board, of the point
_LONG_KA, _LONG_S = 12.5, 400e-6
GAP_TRIED = GapLaw(1500.0, 30.0)


def surge_table(completed: Completed, name: str) -> Markup | None:
    """A table of the first charging point; None where its figures are not known."""
    installation = completed.installation
    circuit = installation.circuits[0]
    point = installation.points_of(circuit)[0]
    case = case_at(completed.case.workings, installation, circuit, point)
    if case is None or case.spd is None or case.spd_gap is not None:
        return None
    return SURGE_TABLES[name](case, case.spd)


def _run(case: SurgeCase) -> KeptRun:
    run = run_of(case)
    assert not isinstance(run, Refused)  # cases of a worked installation, changed within reason
    return run


def _shown(value: float, unit: str, places: int = 0) -> Markup:
    return tag(
        "data", with_unit(number_text(value, places), unit), class_="read", value=full(value)
    )


def _said(text: str, *figures: Markup) -> Markup:
    return Markup(text).format(*figures)


# ---- rules of thumb


def _rules(case: SurgeCase, law: Varistor) -> Markup:
    rows = [
        ("An open end doubles the voltage", *_doubling(case)),
        ("Each metre of lead adds 1 kV", *_metre_of_lead(case)),
        ("The first 10 m of cable need no second device", *_ten_metres(case)),
        ("10 m of cable make two devices share", *_sharing(case, law)),
        ("A small capacitor protects", *_small_capacitor(case)),
        ("An electrode at the point protects the vehicle", *_electrode(case)),
        ("Clear of a down-conductor nothing is induced", *_beside_a_conductor()),
        ("A device also holds a lost neutral", "never", _lost_neutral(law)),
    ]
    return table_html(
        ("rule of thumb", "where it holds", "where it fails"),
        rows,
        "Rules of thumb, held against runs",
    )


def _ratio(case: SurgeCase, metres: tuple[float, float]) -> Markup:
    run = _run(replace(case, supply_m=metres[0], cable_m=metres[1]))
    return _shown(run.vehicle_peak_v / run.board_peak_v, "", 2)


def _doubling(case: SurgeCase) -> tuple[Markup, Markup]:
    far, near = (_shown(added, "m", 1) for added in (sum(_FAR_M), sum(_NEAR_M)))
    return (
        _said("after {}: {} times the board's voltage", far, _ratio(case, _FAR_M)),
        _said("after {}: {} times", near, _ratio(case, _NEAR_M)),
    )


def _ten_metres(case: SurgeCase) -> tuple[Markup, Markup]:
    near, ten = (_shown(added, "m", 1) for added in (sum(_NEAR_M), sum(_TEN_M)))
    return (
        _said("after {}: {} times the board's voltage", near, _ratio(case, _NEAR_M)),
        _said("after {}: {} times already; there is no edge", ten, _ratio(case, _TEN_M)),
    )


def _kv_a_metre(case: SurgeCase, henry_share: float = 1.0) -> Markup:
    """By how much the board rises where the leads become a metre longer."""
    longer = replace(case, lead_m=case.lead_m + henry_share)
    return _shown((_run(longer).board_peak_v - _run(case).board_peak_v) / 1000, "kV", 2)


def _metre_of_lead(case: SurgeCase) -> tuple[Markup, Markup]:
    impulse = {
        kilo: replace(case, source="current-impulse", impulse_a=1000.0 * kilo)
        for kilo in (5, 10, 20)
    }
    close = LEADS_SIDE_BY_SIDE.value(
        {"d": model_value("leads-apart-mm"), "r": model_value("lead-radius-mm")}
    )
    return (
        _said(
            "8/20 µs of {}: {}; of {}: {}",
            _shown(5, "kA"),
            _kv_a_metre(impulse[5]),
            _shown(10, "kA"),
            _kv_a_metre(impulse[10]),
        ),
        _said(
            "combination wave: {}; wave that rings: {}; 8/20 µs of {}: {}, leads side by side: {}",
            _kv_a_metre(case),
            _kv_a_metre(replace(case, source="ring-wave")),
            _shown(20, "kA"),
            _kv_a_metre(impulse[20]),
            _kv_a_metre(impulse[20], close / model_value("lead-inductance-uh-per-m")),
        ),
    )


def _sharing(case: SurgeCase, law: Varistor) -> tuple[Markup, Markup]:
    ten = replace(case, supply_m=sum(_TEN_M), second_spd=law)
    alike = _run(ten)
    low = replace(ten, second_spd=_times(law, _LOWER))
    fails = _run(_lightning(low))
    return (
        _said(
            "alike, combination wave: the second takes {} of {}",
            _shown(alike.second_spd_peak_a, "A"),
            _shown(alike.spd_peak_a + alike.second_spd_peak_a, "A"),
        ),
        _said(
            "the second a fifth lower, 10/350 µs: it takes {} of {}",
            _shown(fails.second_spd_energy_j, "J"),
            _shown(fails.spd_energy_j + fails.second_spd_energy_j, "J"),
        ),
    )


def _small_capacitor(case: SurgeCase) -> tuple[Markup, Markup]:
    nano, micro = model_value("point-capacitor-nf"), model_value("capacitor-uf")
    at_vehicle = replace(case, source="ring-wave", vehicle="capacitor", vehicle_farad=micro * 1e-6)
    return (
        _said(
            "{} in the vehicle, against a wave that rings: {}",
            _shown(micro, "µF"),
            _shown(_run(at_vehicle).vehicle_peak_v, "V"),
        ),
        _said(
            "{} in the point raises {} to {}",
            _shown(nano, "nF"),
            _shown(_run(case).vehicle_peak_v, "V"),
            _shown(_run(replace(case, point_farad=nano * 1e-9)).vehicle_peak_v, "V"),
        ),
    )


def _electrode(case: SurgeCase) -> tuple[Markup, Markup]:
    own = replace(case, board_earth_ohm=_EARTHS[0], point_earth_ohm=_EARTHS[1])
    held = _run(replace(own, second_spd=case.spd)).vehicle_peak_v
    return (
        _said("with a device of its own to it, line to earth: {}", _shown(held, "V")),
        _said(
            "without: {}, where the earth of the board gave {} (board {}, point {})",
            _shown(_run(own).vehicle_peak_v, "V"),
            _shown(_run(case).vehicle_peak_v, "V"),
            *(_shown(ohm, "Ω") for ohm in _EARTHS),
        ),
    )


def _beside_a_conductor() -> tuple[Markup, Markup]:
    def induced(width_m: float) -> Markup:
        mutual = LOOP_BESIDE.value({"l": 10.0, "d": 1.0, "w": width_m})
        steep = model_value("stroke-ka-per-us")
        return _shown(INDUCED_VOLTAGE.value({"M": mutual, "S": steep}), "kV", 1)

    where = (_shown(10, "m"), _shown(1, "m"))
    return (
        _said("{} along it, {} off, line and earth in one cable: {}", *where, induced(0.005)),
        _said("the same, the earth by another way {} wide: {}", _shown(1, "m"), induced(1.0)),
    )


def _lost_neutral(law: Varistor) -> Markup:
    """The current that the crest of the voltage between two lines drives through one element."""
    crest, low, high = 400 * math.sqrt(2), 0.0, 1e5
    while high - low > 1e-6 * high:
        middle = (low + high) / 2
        low, high = (middle, high) if law.volts(middle) < crest else (low, middle)
    return _said(
        "{} across one element drive {} at each crest: it burns",
        _shown(400, "V"),
        _shown(low, "A", 1),
    )


# ---- two devices


def _times(law: Varistor, share: float) -> Varistor:
    return Varistor(law.volts_at_1_a * share, law.alpha, law.series_ohm * share)


def _lightning(case: SurgeCase) -> SurgeCase:
    return replace(case, source="long-impulse", impulse_a=1000 * _LONG_KA, window_s=_LONG_S)


def _cascade(case: SurgeCase, law: Varistor) -> Markup:
    whole = replace(case, window_s=None)
    alone = replace(whole, spd=None)
    cases = (
        ("varistor alone", whole),
        ("varistor, and one alike", replace(whole, second_spd=law)),
        ("varistor, and one a fifth lower", replace(whole, second_spd=_times(law, _LOWER))),
        ("varistor, and one a fifth higher", replace(whole, second_spd=_times(law, _HIGHER))),
        ("spark gap alone", replace(alone, spd_gap=GAP_TRIED)),
        ("spark gap before its varistor", replace(whole, spd_gap=GAP_TRIED)),
        ("spark gap, and a varistor", replace(alone, spd_gap=GAP_TRIED, second_spd=law)),
        ("varistor, and one alike, 10/350 µs", _lightning(replace(whole, second_spd=law))),
        (
            "spark gap, and a varistor, 10/350 µs",
            _lightning(replace(alone, spd_gap=GAP_TRIED, second_spd=law)),
        ),
    )
    rows = [
        (
            words,
            *(_shown(run.spd_peak_a, "A"), _shown(run.spd_energy_j, "J")),
            *(_shown(run.second_spd_peak_a, "A"), _shown(run.second_spd_energy_j, "J")),
            _shown(run.vehicle_peak_v, "V"),
        )
        for words, each in cases
        for run in (_run(each),)
    ]
    return table_html(
        ("in the board, at the point", "board", "energy", "point", "energy", "at the vehicle"),
        rows,
        f"Who takes what: 6 kV and 3 kA, then {_LONG_KA:g} kA of 10/350 µs",
        "plain key",
        numbers=(1, 2, 3, 4, 5),
    )


SURGE_TABLES: dict[str, Callable[[SurgeCase, Varistor], Markup]] = {
    "rules-of-thumb": _rules,
    "cascade": _cascade,
}
