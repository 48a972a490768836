"""Helper of test_twins: the data of an installation with a second circuit like its first, or told
in another order.
"""

from __future__ import annotations

import copy
from typing import Any

import yaml
from sampling import DIAGRAMS

from firstway.choosing.completing import Completed, completed
from firstway.model.reading import installation_from_yaml

SECOND = "-again"
Data = dict[str, Any]


def data_of(name: str) -> Data:
    return yaml.safe_load((DIAGRAMS / f"{name}.yaml").read_text(encoding="utf-8"))


def worked(data: Data, name: str) -> Completed:
    """Read, completed, worked and checked; it must be a good one."""
    found, problems = installation_from_yaml(
        yaml.safe_dump(data, sort_keys=False, allow_unicode=True), f"{name}.yaml", name
    )
    assert found is not None, "\n".join(str(problem) for problem in problems)
    result, problems = completed(found)
    assert result is not None, "\n".join(str(problem) for problem in problems)
    return result


def with_twin(data: Data, circuit: str, before: bool = False) -> tuple[Data, dict[str, str]]:
    """A second circuit, way, point, vehicle and electrode of the point, each a copy of the first,
    and what was read of it.

    Gives the names of the first ones with those of the second. `before`: the copies stand ahead in
    every list, the ways but for the first.
    """
    data = copy.deepcopy(data)
    first = _named(data["circuits"], circuit)
    way = next(each for each in data["board"]["ways"] if each.get("feeds") == circuit)
    points = [each for each in data["charging_points"] if each["name"] in first["supplies"]]
    rods = [
        each
        for each in data.get("electrodes", ())
        if each["use"] == "charging-point"
        and each["name"] in {point["earthed_by"] for point in points}
    ]
    vehicles = [each for each in data.get("vehicles", ()) if each["at"] in first["supplies"]]
    surges = [each for each in data.get("surge_devices", ()) if each["at"] in first["supplies"]]
    # A vehicle that feeds back at the point: the twin has one of its own.
    sources = [
        each for each in listed(data, "other_sources") if each["joined_at"] in first["supplies"]
    ]
    named = (first, way, *points, *rods, *vehicles, *surges, *sources)
    names = {each["name"]: each["name"] + SECOND for each in named}
    for holder, items in (
        (data["circuits"], [first]),
        (data["charging_points"], points),
        (data.get("electrodes", []), rods),
        (data.get("vehicles", []), vehicles),
        (data.get("surge_devices", []), surges),
        (listed(data, "other_sources"), sources),
    ):
        _insert(holder, [_renamed(item, names) for item in items], items, before)
    _insert(data["board"]["ways"], [_renamed(way, names)], [way], before)
    data["board"]["enclosure"]["modules"] += 2 * way["modules"]
    data["board"]["enclosure"]["width_mm"] += 36 * way["modules"]
    data["readings"] = [
        *data.get("readings", ()),
        *(_renamed(each, names) for each in data.get("readings", ()) if circuit in each.values()),
    ]
    for known in list(data.get("known_by", {})):
        data["known_by"].setdefault(_renamed_path(known, names), data["known_by"][known])
    return data, names


def with_second_point(data: Data, circuit: str) -> tuple[Data, str, str]:
    """The circuit's first point, of 16 A, twice on one circuit; gives the names of both."""
    data = copy.deepcopy(data)
    first = _named(data["circuits"], circuit)
    name = first["supplies"][0]
    first["supplies"] = [*first["supplies"], name + SECOND]
    point = _named(data["charging_points"], name)
    point.pop("power_kw", None)
    point["current_a"] = 16
    _insert(data["charging_points"], [_renamed(point, {name: name + SECOND})], [point], False)
    surges = [each for each in data.get("surge_devices", ()) if each["at"] == name]
    sources = [each for each in listed(data, "other_sources") if each["joined_at"] == name]
    named = [*surges, *sources]
    names = {each["name"]: each["name"] + SECOND for each in named} | {name: name + SECOND}
    if sources:
        own = [_renamed(each, names) for each in sources]
        _insert(data["other_sources"], own, sources, False)
    if surges:
        again = [_renamed(each, names) for each in surges]
        _insert(data["surge_devices"], again, surges, False)
    return data, name, name + SECOND


def listed(data: Data, key: str) -> list[Data]:
    """A list of the file; an empty one where it is absent or a word such as `none`."""
    found = data.get(key)
    return found if isinstance(found, list) else []


def _named(items: list[Data], name: str) -> Data:
    return next(each for each in items if each["name"] == name)


def _insert(holder: list[Data], new: list[Data], beside: list[Data], before: bool) -> None:
    for item, neighbour in zip(new, beside):
        holder.insert(holder.index(neighbour) + (0 if before else 1), item)


def _renamed(value: Any, names: dict[str, str]) -> Any:
    if isinstance(value, dict):
        return {key: _renamed(each, names) for key, each in value.items()}
    if isinstance(value, list):
        return [_renamed(each, names) for each in value]
    return names.get(value, value) if isinstance(value, str) else value


def _renamed_path(path: str, names: dict[str, str]) -> str:
    return ".".join(names.get(part, part) for part in path.split("."))


def at(data: Data, path: str) -> Any:
    """What stands at a path; items of lists by their name."""
    for step in path.split("."):
        data = _named(data, step) if isinstance(data, list) else data[step]
    return data


def reversed_lists(data: Data) -> Data:
    """The same installation, its lists told from the other end; ways keep their order: it is where
    they stand.
    """
    data = copy.deepcopy(data)
    for key in (
        "circuits",
        "charging_points",
        "electrodes",
        "vehicles",
        "existing_boards",
        "readings",
    ):
        if key in data:
            data[key].reverse()
    for point in data["circuits"]:
        point["route"].reverse()
    data["existing_load"] = dict(reversed(data["existing_load"].items()))
    return data
