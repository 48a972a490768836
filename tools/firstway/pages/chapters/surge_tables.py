"""Pages: tables of surge runs for a chapter: rules of thumb with where they hold and where they
fail, who takes what where two devices share, and every path of an installation.
"""

from __future__ import annotations

import math
from dataclasses import replace

from firstway.calculations.surge import GapLaw, Refused, SurgeCase, Varistor
from firstway.calculations.surge_law import INDUCED_VOLTAGE, LEADS_SIDE_BY_SIDE, LOOP_BESIDE
from firstway.choosing.completing import Completed
from firstway.pages.jobs.surge_part import paths_table
from firstway.rendering.figures import full, number_text, with_unit
from firstway.rendering.html import Markup, table_html, tag
from firstway.tables.looking_up import overvoltage_test_x_u0
from firstway.tables.reading import Read
from firstway.workings.surge.loops import SurgeMode
from firstway.workings.surge.model import model_value
from firstway.workings.surge.runs import KeptRun, run_of
from firstway.workings.surge.steps import case_at

SOURCES_OF_RUNS = ("assumed-surge", "iec61000-4-5", "iec62305-1")
_LOWER, _HIGHER = 0.8, 1.2  # of the voltage of the device in the board
_NEAR_M, _TEN_M, _FAR_M = (2.0, 1.0), (6.7, 3.3), (50.0, 7.5)  # supply cable, charging cable
EARTHS_TRIED = (10.0, 60.0)  # ohm: of the board, of the point
_RING_SUPPLY_M = (40.0, 47.0)  # supply cables that do not, and do, ring along with the 100 kHz wave
_VEHICLE_NF = 100.0  # tried in the vehicle, to earth
_NEUTRAL: SurgeMode = "line-to-neutral"
GAP_TRIED = GapLaw(1500.0, 30.0)


def surge_table(completed: Completed, name: str) -> Markup | None:
    """A table of the first charging point; None where its figures are not known."""
    installation = completed.installation
    circuit = installation.circuits[0]
    point = installation.points_of(circuit)[0]
    if name == "paths":
        return paths_table(completed, circuit, point)
    case, neutral, bound = (
        case_at(completed.case.workings, installation, circuit, point, bound=law, mode=mode)
        for law, mode in ((False, None), (False, _NEUTRAL), (True, _NEUTRAL))
    )
    if case is None or case.spd is None or neutral is None or bound is None:
        return None
    if name == "cascade":
        return _cascade(case, case.spd)
    return _rules(case, case.spd, neutral, bound)


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


def _rules(case: SurgeCase, law: Varistor, neutral: SurgeCase, bound: SurgeCase) -> Markup:
    """`neutral` and `bound` are the path line to neutral, by the two laws."""
    rows = [
        ("The device takes the work from the vehicle", *_work(case, neutral, bound)),
        ("An open end doubles the voltage", *_doubling(case)),
        ("Each metre of lead adds 1 kV", *_metre_of_lead(case)),
        ("The first 10 m of cable need no second device", *_ten_metres(case)),
        ("10 m of cable make two devices share", *_sharing(case, law)),
        ("A small capacitor protects", *_small_capacitor(case, neutral)),
        ("An electrode at the point protects the vehicle", *_electrode(case)),
        ("Clear of a down-conductor nothing is induced", *_beside_a_conductor()),
        ("A device also holds a lost neutral", *_lost_neutral(law)),
    ]
    return table_html(
        ("rule of thumb", "where it holds", "where it fails"),
        rows,
        "Rules of thumb, held against runs: line to earth, one element, unless it says otherwise",
    )


def _work(case: SurgeCase, neutral: SurgeCase, bound: SurgeCase) -> tuple[Markup, Markup]:
    def taken(path: SurgeCase) -> tuple[Markup, Markup]:
        run = _run(replace(path, vehicle="varistor", window_s=None))
        return _shown(run.vehicle_peak_a, "A"), _shown(run.vehicle_energy_j, "J", 1)

    rectifier = _run(replace(neutral, vehicle="rectifier", window_s=None)).vehicle_peak_a
    return (
        _said("a small varistor in the vehicle, line to earth: {}, {}", *taken(case)),
        _said(
            "where it stands, line to neutral, against two elements in series: {}, {}; by the"
            " pessimistic law {}, {}; a charged rectifier there {}. Upper figures where neutral and"
            " earth are joined at the origin",
            *taken(neutral),
            *taken(bound),
            _shown(rectifier, "A"),
        ),
    )


def _times_the_board(case: SurgeCase) -> Markup:
    run = _run(case)
    return _shown(run.vehicle_peak_v / run.board_peak_v, "", 2)


def _ratio(case: SurgeCase, metres: tuple[float, float]) -> Markup:
    return _times_the_board(replace(case, supply_m=metres[0], cable_m=metres[1]))


def _ringing(case: SurgeCase) -> SurgeCase:
    return replace(case, source="ring-wave", loss_ohm_per_m=model_value("loss-ohm-per-m"))


def _charging(case: SurgeCase, farad: float) -> SurgeCase:
    return replace(case, vehicle="capacitor", vehicle_farad=farad)


def _doubling(case: SurgeCase) -> tuple[Markup, Markup]:
    far, near = (_shown(added, "m", 1) for added in (sum(_FAR_M), sum(_NEAR_M)))
    nano = model_value("point-capacitor-nf")
    return (
        _said("after {}: {} times the board's voltage", far, _ratio(case, _FAR_M)),
        _said(
            "after {}: {} times. Above two with capacitance: {} in the point {} times; {} in the"
            " vehicle, a wave that rings, {} times",
            near,
            _ratio(case, _NEAR_M),
            _shown(nano, "nF"),
            _times_the_board(replace(case, point_farad=nano * 1e-9)),
            _shown(_VEHICLE_NF, "nF"),
            _times_the_board(_charging(_ringing(case), _VEHICLE_NF * 1e-9)),
        ),
    )


def _ten_metres(case: SurgeCase) -> tuple[Markup, Markup]:
    near, ten = (_shown(added, "m", 1) for added in (sum(_NEAR_M), sum(_TEN_M)))
    apart, along = (_ringing(replace(case, supply_m=metres)) for metres in _RING_SUPPLY_M)
    return (
        _said("after {}: {} times the board's voltage", near, _ratio(case, _NEAR_M)),
        _said(
            "after {}: {} times already; there is no edge. A wave that rings: {} after {}, {} after"
            " {}: there cable and wave swing together",
            ten,
            _ratio(case, _TEN_M),
            *_after(apart),
            *_after(along),
        ),
    )


def _after(case: SurgeCase) -> tuple[Markup, Markup]:
    return _shown(_run(case).vehicle_peak_v, "V"), _shown(case.supply_m + case.cable_m, "m", 1)


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
            _kv_a_metre(_ringing(case)),
            _shown(20, "kA"),
            _kv_a_metre(impulse[20]),
            _kv_a_metre(impulse[20], close / model_value("lead-inductance-uh-per-m")),
        ),
    )


def _sharing(case: SurgeCase, law: Varistor) -> tuple[Markup, Markup]:
    ten = replace(case, supply_m=sum(_TEN_M), second_spd=law)
    alike = _run(ten)
    fails = _run(replace(ten, second_spd=_times(law, _LOWER)))
    return (
        _said(
            "alike, combination wave: the second takes {} of {}",
            _shown(alike.second_spd_peak_a, "A"),
            _shown(alike.spd_peak_a + alike.second_spd_peak_a, "A"),
        ),
        _said(
            "the second a fifth lower: it takes {} of {}. A lightning current of 10/350 µs is not"
            " run: it is beyond what a type 2 device is made for",
            _shown(fails.second_spd_peak_a, "A"),
            _shown(fails.spd_peak_a + fails.second_spd_peak_a, "A"),
        ),
    )


def _small_capacitor(case: SurgeCase, neutral: SurgeCase) -> tuple[Markup, Markup]:
    nano, micro = model_value("point-capacitor-nf"), model_value("capacitor-uf")

    def volts(path: SurgeCase) -> Markup:
        return _shown(_run(path).vehicle_peak_v, "V")

    ringing = _ringing(case)
    return (
        _said(
            "{} between line and neutral of the vehicle, a wave that rings: {} becomes {}",
            _shown(micro, "µF"),
            volts(_ringing(neutral)),
            volts(_charging(_ringing(neutral), micro * 1e-6)),
        ),
        _said(
            "the same, combination wave: {} becomes {}. To earth, where leakage allows far less: {}"
            " in the vehicle, a wave that rings: {} becomes {}; {} in the point: {} becomes {}",
            volts(neutral),
            volts(_charging(neutral, micro * 1e-6)),
            _shown(_VEHICLE_NF, "nF"),
            volts(ringing),
            volts(_charging(ringing, _VEHICLE_NF * 1e-9)),
            _shown(nano, "nF"),
            volts(case),
            volts(replace(case, point_farad=nano * 1e-9)),
        ),
    )


def _electrode(case: SurgeCase) -> tuple[Markup, Markup]:
    own = replace(case, board_earth_ohm=EARTHS_TRIED[0], point_earth_ohm=EARTHS_TRIED[1])
    held = _run(replace(own, second_spd=case.spd)).vehicle_peak_v
    alone, shared = _run(own), _run(case)
    return (
        _said("with a device of its own to it: {}", _shown(held, "V")),
        _said(
            "without: {} at {} through the board's device; on the earth of the board {} at {}: not"
            " the same current (board {}, point {})",
            _shown(alone.vehicle_peak_v, "V"),
            _shown(alone.spd_peak_a, "A"),
            _shown(shared.vehicle_peak_v, "V"),
            _shown(shared.spd_peak_a, "A"),
            *(_shown(ohm, "Ω") for ohm in EARTHS_TRIED),
        ),
    )


def _beside_a_conductor() -> tuple[Markup, Markup]:
    steep = model_value("stroke-ka-per-us")

    def induced(width_m: float) -> Markup:
        mutual = LOOP_BESIDE.value({"l": 10.0, "d": 1.0, "w": width_m})
        return _shown(INDUCED_VOLTAGE.value({"M": mutual, "S": steep}), "kV", 1)

    where = (_shown(10, "m"), _shown(1, "m"), _shown(steep, "kA/µs"))
    return (
        _said(
            "little: {} along it, {} off, at {}, line and earth in one cable: {}",
            *where,
            induced(0.005),
        ),
        _said(
            "the same, the earth by another way {} wide: {}. So near, it may flash over: the"
            " separation distance is the lightning protection designer's",
            _shown(1, "m"),
            induced(1.0),
        ),
    )


def _lost_neutral(law: Varistor) -> tuple[str, Markup]:
    """The current that the crest of the voltage between two lines drives through one element."""
    tested = overvoltage_test_x_u0("TN", "line-neutral", "lost neutral")
    assert isinstance(tested, Read)  # a row of our own table
    crest, low, high = 400 * math.sqrt(2), 0.0, 1e5
    while high - low > 1e-6 * high:
        middle = (low + high) / 2
        low, high = (middle, high) if law.volts(middle) < crest else (low, middle)
    return (
        "never. CT1 on TN-S is spared: line to earth stays, line to neutral has two in series. On a"
        " lone one-phase service the voltage to neutral collapses",
        _said(
            "CT2, or CT1 with the PEN broken in the network: up to {} across one element, {} at"
            " each crest. No fuse opens on that. It is tested with {} times line to earth ({}) and"
            " may fail there, safely; what yours does its maker states. The vehicle gets that"
            " voltage too",
            _shown(400, "V"),
            _shown(low, "A", 1),
            _shown(tested.value, "", 2),
            Markup.escape(tested.row.standing),
        ),
    )


# ---- two devices


def _times(law: Varistor, share: float) -> Varistor:
    return Varistor(law.volts_at_1_a * share, law.alpha, law.series_ohm * share)


def _cascade(case: SurgeCase, law: Varistor) -> Markup:
    whole = replace(case, window_s=None)
    cases = (
        ("varistor alone", whole),
        ("varistor, and one alike", replace(whole, second_spd=law)),
        ("varistor, and one a fifth lower", replace(whole, second_spd=_times(law, _LOWER))),
        ("varistor, and one a fifth higher", replace(whole, second_spd=_times(law, _HIGHER))),
        ("spark gap alone", replace(whole, spd=None, spd_gap=GAP_TRIED)),
        ("spark gap and varistor in series, one device", replace(whole, spd_gap=GAP_TRIED)),
    )
    rows = [
        (
            words,
            _share(run.spd_peak_a, run.spd_energy_j),
            _share(run.second_spd_peak_a, run.second_spd_energy_j),
            _shown(run.vehicle_peak_v, "V"),
        )
        for words, each in cases
        for run in (_run(each),)
    ]
    return table_html(
        ("device", "board", "point", "vehicle"),
        rows,
        "Who takes what: 6 kV and 3 kA",
        "plain key",
        numbers=(1, 2, 3),
    )


def _share(ampere: float, joule: float) -> Markup:
    return _said("{} {}", _shown(ampere, "A"), _shown(joule, "J")) if ampere else Markup("–")


SURGE_TABLES = ("rules-of-thumb", "cascade", "paths")
