"""Choosing: what a study varies beside the keys of the file: how far the point is along its cable,
where a device stands on the bar, and which surge comes.

    distance:CIRCUIT   m from the board to the point along the cable; each stretch in proportion
    place:DEVICE       of a surge protective device: 1 stands beside the main switch; its leads
                       are as long as they are laid there, with the bar that it then needs
    surge-wave         combination-wave, current-impulse or ring-wave
    surge-voltage      open-circuit voltage in V
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import get_args

from firstway.calculations.adding import added
from firstway.choosing.moving import moved_to
from firstway.files.specs import Number
from firstway.files.yaml_reader import Text
from firstway.model.installation import Installation, Stretch
from firstway.model.mistakes import with_key
from firstway.model.values import is_known
from firstway.problems import Problem, visible
from firstway.workings.surge.waves import USUAL_SURGE, AskedSurge, WaveName

WAVE, VOLTAGE = "surge-wave", "surge-voltage"
SURGE_SETTINGS = (WAVE, VOLTAGE)
WAVES_RUN: tuple[WaveName, ...] = get_args(WaveName)
_DISTANCE, _PLACE = "distance:", "place:"
_MOST_V = 20_000  # beyond what comes along a cable into a building


def study_settings(installation: Installation) -> dict[str, Number]:
    """What of this installation can be varied beside its keys, by name, with its bounds; a wave is
    one of `WAVES_RUN`.
    """
    ways = installation.board.ways
    return {
        **{f"{_DISTANCE}{each.name}": Number(above=0) for each in installation.circuits},
        **{
            f"{_PLACE}{way.name}": Number(at_least=1, at_most=len(ways), whole=True)
            for way in ways
            if way.device == "spd"
        },
        WAVE: Number(),
        VOLTAGE: Number(above=0, at_most=_MOST_V),
    }


def is_setting(name: str) -> bool:
    """Whether it is one of these, not a key of the file."""
    return name in SURGE_SETTINGS or name.startswith((_DISTANCE, _PLACE))


def with_settings(
    installation: Installation, settings: Mapping[str, str], file: str
) -> tuple[Installation, AskedSurge, list[Problem]]:
    """The installation with these settings, and the surge that is asked for."""
    problems: list[Problem] = []
    asked = USUAL_SURGE
    for name, value in settings.items():
        found = _wrong(installation, name, value, file)
        if not found and name == WAVE:
            asked = replace(asked, wave=next(wave for wave in WAVES_RUN if wave == value))
        elif not found and name == VOLTAGE:
            asked = replace(asked, volts=float(value))
        elif not found:
            change = _at_distance if name.startswith(_DISTANCE) else _at_place
            installation, found = change(installation, name.partition(":")[2], value, file)
        problems += found
    return installation, asked, problems


def _wrong(installation: Installation, name: str, value: str, file: str) -> list[Problem]:
    if name == WAVE:
        if value in WAVES_RUN:
            return []
        return [Problem(file, 0, f"'{visible(value)}' is no wave", f"name {', '.join(WAVES_RUN)}")]
    bounds = study_settings(installation)[name]
    number = float(value)
    if bounds.above is not None and number <= bounds.above:
        return [Problem(file, 0, f"{value} is too low", f"write more than {bounds.above:g}")]
    low, high = bounds.at_least, bounds.at_most
    if (low is not None and number < low) or (high is not None and number > high):
        span = f"{low:g} to {high:g}" if low is not None else f"at most {high:g}"
        return [Problem(file, 0, f"{value} is beyond its ends", f"write {span}")]
    if bounds.whole and number != int(number):
        return [Problem(file, 0, f"{value} is no whole number", "write 1, 2, 3 ...")]
    return []


def _at_distance(
    installation: Installation, circuit: str, value: str, file: str
) -> tuple[Installation, list[Problem]]:
    """The route of a circuit as long as this, each stretch in proportion."""
    route: tuple[Stretch, ...] = installation.circuit(circuit).route
    lengths = [stretch.length_m for stretch in route]
    known = [float(each) for each in lengths if is_known(each)]
    whole = added(known)
    if len(known) < len(route) or whole <= 0:
        hint = "state it first, or vary its own key"
        return installation, [
            Problem(file, 0, f"a length in the route of {circuit} is not known", hint)
        ]
    problems: list[Problem] = []
    for place, length in enumerate(known, 1):
        path = f"circuits.{circuit}.route.{place}.length_m"
        shown = f"{length * float(value) / whole:.12g}"
        installation, found = with_key(installation, path, Text(shown, 0), file)
        problems += found
    return installation, problems


def _at_place(
    installation: Installation, name: str, value: str, file: str
) -> tuple[Installation, list[Problem]]:
    """The device at this place of the bar, its leads as long as they are laid there."""
    return moved_to(installation, name, int(float(value)), file)


def shown_setting(name: str) -> str:
    """Its name with its unit; a key of the file carries its own."""
    if name.startswith(_DISTANCE):
        return f"{name} in m"
    return f"{name} in V" if name == VOLTAGE else name


def settings_told(name: str) -> str:
    """What a setting does to the file, for the sentences of a study."""
    if name.startswith(_DISTANCE):
        return "each stretch in proportion, known as the file says of its stretches"
    if name.startswith(_PLACE):
        return (
            "counted from the main switch; its leads as long as they are laid there, with the bar"
            " from the first way that feeds a circuit on"
        )
    return "of the surge that is run"
