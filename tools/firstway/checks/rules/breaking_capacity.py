"""Every device can break the largest fault current where it stands.

Why: a device that meets more than it can break may burst. A fuse ahead can help one of the board
only where the maker of the board has proved the pair together. The current is the largest of every
kind of fault just behind the device, by the larger of what the file states and what follows from
its impedances, and what other sources give is added.
A pass: 6 kA where 0.9 kA can flow. Not known: the declared rating of the assembly with its device
ahead decides.
A fail: neither is declared for the current.
"""

from dataclasses import replace

from firstway.checks.faults import device_words
from firstway.checks.places import given_by_sources_ka
from firstway.checks.rule import Case, Finding, Findings, Rule, within
from firstway.model.values import is_known, key_of
from firstway.tables.reading import Gap, fuse_breaking_capacity_ka
from firstway.workings.shared.endured import Largest, largest_behind
from firstway.workings.shared.opening_times import Device

RULE = Rule(
    "breaking-capacity",
    "Every device can break the largest fault current",
    "BS 7671 434.5.1, 536.4; IEC 60364-4-43 434.5.1",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for name in case.each(case.sweep.protective):
        device, largest = case.sweep.device(name), largest_behind(case.sweep, name)
        if device is not None and device.overcurrent and largest is not None:
            yield _of(case, device, _with_sources(case, largest))


def _with_sources(case: Case, largest: Largest) -> Largest:
    """An upper bound: other sources count wherever they stand."""
    given = given_by_sources_ka(case)
    if largest.kiloampere is None or given.value == 0:
        return largest
    if given.value is None:
        return replace(largest, kiloampere=None, ask=given.ask)
    return replace(largest, kiloampere=largest.kiloampere + given.value)


def _of(case: Case, device: Device, largest: Largest) -> Finding:
    of, words = _owner(case, device), device_words(case, device.name)
    if largest.kiloampere is None:
        return RULE.does_not_know(case, of, device.name, largest.ask, unit="kA")
    capacity, note = _capacity_ka(device)
    if capacity is None:
        return RULE.does_not_know(
            case,
            of,
            device.name,
            f"the breaking capacity of {words}; read it on the device",
            largest.kiloampere,
            "kA",
        )
    if within(largest.kiloampere, capacity):
        return RULE.passes(
            case,
            of,
            device.name,
            f"{words} breaks the largest fault current behind it{note}",
            capacity,
            largest.kiloampere,
            "kA",
        )
    return _beyond(case, of, device, capacity, largest.kiloampere)


def _owner(case: Case, device: Device) -> str:
    if case.installation.board.ways and any(
        way.name == device.name for way in case.installation.board.ways
    ):
        return device.name
    return "supply" if device.path.startswith("supply") else "feed"


def _capacity_ka(device: Device) -> tuple[float | None, str]:
    """As the file states it; of a fuse else what its standard asks for at least."""
    if device.breaking_ka is not None:
        return device.breaking_ka, ""
    least = fuse_breaking_capacity_ka(device.standard) if device.kind == "fuse" else None
    if least is None or isinstance(least, Gap):
        return None, ""
    return least.value, ", by the least its standard allows"


def _beyond(case: Case, of: str, device: Device, capacity: float, largest: float) -> Finding:
    """More than the device breaks by itself: in the board the maker of the assembly may have proved
    it with the device ahead.
    """
    assembly = case.installation.board.assembly
    conditional = key_of(assembly, "conditional_fault_rating_ka")
    if of in ("supply", "feed"):
        return RULE.says(
            case,
            "fail",
            of,
            device.name,
            f"{device_words(case, device.name)} cannot break this fault current",
            capacity,
            largest,
            "kA",
        )
    if not is_known(conditional):
        return RULE.does_not_know(
            case,
            of,
            device.name,
            "whether the assembly is declared for this fault current; ask the maker",
            largest,
            "kA",
        )
    if within(largest, float(conditional)):
        return RULE.does_not_know(
            case,
            of,
            device.name,
            "whether the maker of the board declares this device together with the device ahead for"
            " this fault current: it is above the device's own breaking capacity",
            largest,
            "kA",
        )
    return RULE.says(
        case,
        "fail",
        of,
        device.name,
        "neither the device nor the assembly is declared for this fault current",
        capacity,
        largest,
        "kA",
    )
