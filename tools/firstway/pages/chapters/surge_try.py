"""Pages: try a surge: a table that stands without scripts, and the data from which a script runs
any other case.
"""

from __future__ import annotations

from dataclasses import asdict, replace

from firstway.calculations.surge import Refused, SurgeCase
from firstway.choosing.completing import Completed
from firstway.pages.chapters.surge_tables import EARTHS_TRIED, GAP_TRIED
from firstway.pages.jobs.surge_part import levels_at
from firstway.quiz.paper.page import json_for_page
from firstway.rendering.figures import full
from firstway.rendering.html import Markup, escape, joined, table_html, tag
from firstway.workings.surge.model import model_value, surge_model
from firstway.workings.surge.runs import case_for_peaks, run_of
from firstway.workings.surge.steps import case_at, surge_device

_SCRIPT = tag("link", rel="stylesheet", href="{root}assets/surge.css") + tag(
    "script", src="{root}assets/surge.js", defer=True
)


def try_html(completed: Completed) -> Markup | None:
    """The block of an installation's first charging point; None where its figures are not known."""
    installation, workings = completed.installation, completed.case.workings
    circuit = installation.circuits[0]
    point = installation.points_of(circuit)[0]
    fitted, bound = (
        case_at(workings, installation, circuit, point, bound=law) for law in (False, True)
    )
    if fitted is None or bound is None or fitted.spd is None or bound.spd is None:
        return None
    levels = [list(level) for level in levels_at(completed, point)]
    between = model_value("vehicle-test-between-lines-kv")
    data = {
        "model": asdict(surge_model()),
        "start": asdict(fitted),
        "levels": levels,
        "between": [*levels[:2], [1000 * between, f"tested, not promised: {between:g} kV"]],
        "laws": {"two-term": asdict(fitted.spd), "power": asdict(bound.spd)},
        "gap": asdict(GAP_TRIED),
        "module_m": _module_m(completed),
        "loss": model_value("loss-ohm-per-m"),
        "earths": EARTHS_TRIED,
        "choices": _choices(),
    }
    return joined(
        [
            _table(fitted, bound),
            tag(
                "noscript",
                tag("p", "The controls need a script."),
            )
            + tag(
                "div",
                tag("script", json_for_page(data), type="application/json"),
                class_="surge-try",
                hidden=True,
            ),
            _SCRIPT,
        ]
    )


def _module_m(completed: Completed) -> float:
    """The width of a module in m, as the device of the job lies in its row."""
    way, parts = surge_device(completed.installation), completed.case.layout.parts
    body = next(each.body for each in parts.devices if way and each.name == way.name)
    return body.size(1 if parts.upright else 0) / way.modules / 1000 if way else 0.0


_Option = tuple[str, str]


def _choices() -> tuple[tuple[str, str, tuple[_Option, ...]], ...]:
    """What is chosen from lists: name, words, and each option as the script reads it. A surge is a
    letter of its wave and its volts or ampere; a path its elements, and whether there is a gap.
    """
    board, point = EARTHS_TRIED
    return (
        (
            "surge",
            "Surge",
            (
                *(
                    (f"w{volts}", f"combination wave {volts // 1000} kV, {volts // 2000} kA")
                    for volts in (6000, 4000, 2000)
                ),
                *(
                    (f"i{ampere}", f"current impulse {ampere // 1000} kA, 8/20")
                    for ampere in (5000, 20000)
                ),
                ("r6000", "wave that rings, 100 kHz, 6 kV"),
                ("l12500", "lightning current 12.5 kA, 10/350, type 1"),
            ),
        ),
        (
            "spd",
            "Device in the board",
            (("two-term", "fitted"), ("power", "fitted, pessimistic law"), ("none", "none")),
        ),
        (
            "path",
            "Path of the surge",
            (
                ("1", "line to earth, CT1: one element"),
                ("2", "line to neutral, CT1: two in series (upper figure)"),
                ("1n", "line to neutral, CT2: one element"),
                ("1g", "line to earth, CT2: element and gap"),
                ("0g", "neutral to earth, CT2: its gap"),
            ),
        ),
        (
            "earth",
            "Earth of the point",
            (
                ("", "that of the board"),
                ("yes", f"its own, {point:g} Ω; the board's {board:g} Ω"),
            ),
        ),
        (
            "second",
            "Second device at the charging point",
            (
                ("", "none"),
                ("1", "of the same voltage"),
                ("0.8", "a fifth lower"),
                ("1.2", "a fifth higher"),
            ),
        ),
        (
            "farad",
            "Capacitor in the point",
            (("0", "none"), ("1e-9", "1 nF"), ("4.7e-9", "4.7 nF"), ("1e-7", "100 nF")),
        ),
        (
            "vehicle",
            "At the vehicle's end",
            (
                ("open", "nothing"),
                ("varistor", "a small varistor"),
                ("capacitor", "a capacitor of 1 µF"),
                ("varistor-and-capacitor", "varistor and capacitor"),
                ("rectifier", "a rectifier, charged"),
            ),
        ),
    )


def _table(fitted: SurgeCase, bound: SurgeCase) -> Markup:
    without = replace(fitted, spd=None)
    second = replace(fitted, second_spd=fitted.spd)
    cases = (
        ("no device", without, without),
        ("device, as in the job", fitted, bound),
        ("device, leads of 0.1 m", replace(fitted, lead_m=0.1), replace(bound, lead_m=0.1)),
        ("device, leads of 0.5 m", replace(fitted, lead_m=0.5), replace(bound, lead_m=0.5)),
        ("device, leads of 1 m", replace(fitted, lead_m=1.0), replace(bound, lead_m=1.0)),
        ("device, leads of 2 m", replace(fitted, lead_m=2.0), replace(bound, lead_m=2.0)),
        (
            "device, supply cable of 3 m",
            replace(fitted, supply_m=3.0),
            replace(bound, supply_m=3.0),
        ),
        (
            "device, supply cable of 50 m",
            replace(fitted, supply_m=50.0),
            replace(bound, supply_m=50.0),
        ),
        ("device, a second one at the point", second, replace(bound, second_spd=bound.spd)),
        (
            "device, a 20 kA impulse",
            replace(fitted, source="current-impulse"),
            replace(bound, source="current-impulse"),
        ),
    )
    rows = [
        (
            words,
            _volts(case, "board_peak_v"),
            _volts(case, "vehicle_peak_v"),
            _volts(other, "vehicle_peak_v"),
        )
        for words, case, other in cases
    ]
    return table_html(
        ("case", "at the board", "at the vehicle", "at the vehicle, pessimistic law"),
        rows,
        "Highest voltages, line to earth, open end, 6 kV and 3 kA but for the last row",
        "plain key",
    )


def _volts(case: SurgeCase, what: str) -> Markup:
    run = run_of(case_for_peaks(case))
    if isinstance(run, Refused):
        return escape(run.message)
    value = getattr(run, what)
    return tag("data", f"{round(value, -1):,.0f} V", class_="read", value=full(value))
