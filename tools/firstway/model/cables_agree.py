"""Model: does every cable of the file belong to its rules, and has it the cores its part of the job
needs?

The supply's tails, the feed and every circuit are asked the same. Each finding is a key, what is
wrong with it, and what to do.
"""

from __future__ import annotations

from collections.abc import Iterator

from firstway.frozen import dataclass
from firstway.model.installation import Cable, Installation, Stretch
from firstway.model.lines import lines_of
from firstway.model.values import is_known, path_of

CableComplaint = tuple[str, str, str]
"""The path of a key, what is wrong with it, and what to do."""
# What the tables of each rule set are made for; a word of the other's has no row in them.
_WORDS = {
    True: {
        "construction": ("single-core", "nm", "multicore"),
        "insulation": ("thhn90",),
        "method": ("raceway", "nm-cable", "buried"),
    },
    False: {
        "construction": ("single-core", "flat-twin-and-earth", "armoured", "multicore"),
        "insulation": ("thermoplastic-70", "thermosetting-90"),
        "method": (
            "A",
            "A1",
            "A2",
            "B",
            "B1",
            "B2",
            "C",
            "D1",
            "D2",
            "E",
            "F",
            "100",
            "101",
            "102",
            "103",
        ),
    },
}
_HINTS = {
    "armoured": "nec: `construction: multicore` and `wiring_method: mc-cable`",
    "flat-twin-and-earth": "nec: `construction: nm` and `wiring_method: nm-cable`",
}
_SIZES_OF_THE_OTHER = {
    True: ("csa_mm2", "cpc_mm2"),
    False: ("size_awg", "egc_awg", "wiring_method"),
}
_COUNTED = (
    "multicore",
    "armoured",
    "flat-twin-and-earth",
)  # a set of single cores has as many as it is laid with


@dataclass(frozen=True)
class _Run:
    """A cable with its route; `live`: how many lines and neutrals it brings; `what` as a sentence
    names it.
    """

    what: str
    cable: Cable
    route: tuple[Stretch, ...]
    live: int


def cables_disagree(installation: Installation) -> Iterator[CableComplaint]:
    """What no table of the rules holds, and cores, armour and sizes that cannot be together."""
    nec = installation.rules == "nec"
    for run in _runs(installation):
        yield from _foreign(installation, run, nec)
        if not nec:
            yield from _cores(run)


def _runs(installation: Installation) -> Iterator[_Run]:
    supply, feed, lines = installation.supply, installation.feed, len(lines_of(installation))
    if is_known(supply.cable):
        yield _Run("supply", supply.cable, supply.route, lines + 1)
    if is_known(feed) and is_known(feed.cable):
        yield _Run("feed", feed.cable, feed.route, lines + 1)
    for circuit in installation.circuits:
        if is_known(circuit.cable):
            yield _Run(
                "circuit",
                circuit.cable,
                circuit.route,
                len(circuit.lines) + (circuit.neutral is True),
            )


def _foreign(installation: Installation, run: _Run, nec: bool) -> Iterator[CableComplaint]:
    cable, words = run.cable, _WORDS[nec]
    sections = [
        (cable, "construction"),
        (cable, "insulation"),
        *((stretch, "method") for stretch in run.route),
    ]
    for section, key in sections:
        value = getattr(section, key)
        if is_known(value) and value not in words[key]:
            choices = "use one of: " + ", ".join(words[key])
            yield (
                path_of(section, key),
                f"the {key} '{value}' does not belong to the rules '{installation.rules}'",
                _HINTS.get(str(value), choices) if nec else choices,
            )
    for key in _SIZES_OF_THE_OTHER[nec]:
        if is_known(getattr(cable, key)):
            yield (
                path_of(cable, key),
                f"'{key}' does not belong to the rules '{installation.rules}'",
                "remove it; sizes stand in "
                + ("`size_awg` and `egc_awg`" if nec else "`csa_mm2` and `cpc_mm2`"),
            )


def _cores(run: _Run) -> Iterator[CableComplaint]:
    cable = run.cable
    core = cable.protective == "core" and cable.construction in ("armoured", "multicore")
    if is_known(cable.cores) and cable.construction in _COUNTED and cable.cores < run.live + core:
        yield (
            path_of(cable, "cores"),
            f"the cable has {cable.cores} cores, the {run.what} needs {run.live + core}",
            "lines, neutral and, where it is a core, the protective conductor",
        )
    if cable.protective == "armour" and cable.construction != "armoured":
        yield (
            path_of(cable, "protective"),
            "only an armoured cable has armour",
            "use core or separate",
        )
    if (
        is_known(cable.csa_mm2)
        and is_known(cable.cpc_mm2)
        and cable.protective == "core"
        and cable.construction == "armoured"
        and cable.cpc_mm2 != cable.csa_mm2
    ):
        yield (
            path_of(cable, "cpc_mm2"),
            "a core of an armoured cable has the size of the other cores",
            f"write `cpc_mm2: {cable.csa_mm2:g}`",
        )
