"""Every conductor survives the faults whose current it carries.

Why: until the device opens, the fault's current heats every conductor on its way, far beyond what
the load ever does. Too thin, it melts, burns what it touches, and takes the earth away from what it
should have protected. Behind a breaker the worst is at the beginning of the cable, where the
current is largest; behind a fuse at its end, where a small current lasts long.
A pass: a protective conductor of 16 mm² to the board where 6 mm² survive five seconds of an 80 A
fuse. A fail: one of 1 mm².
"""

from collections.abc import Iterator

from firstway.checks.faults import ampere_words, device_words
from firstway.checks.rule import Case, Finding, Findings, Level, Rule, within
from firstway.frozen import dataclass
from firstway.model.evidence import alone
from firstway.tables.reading import Gap
from firstway.wiring.graph import VEHICLE_LEAD, Conductor
from firstway.workings.shared.endured import (
    LONGEST_S,
    Endured,
    cable_of,
    endured,
    heat_constant,
    least_size_mm2,
)

RULE = Rule(
    "fault-survived",
    "Every conductor survives the faults it carries",
    "BS 7671 434.5.2, 543.1.3; IEC 60364-4-43 434.5.2, IEC 60364-5-54 543.1.2",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)
_ORDER: tuple[Level, ...] = ("fail", "unknown", "pass")
WIRES = {
    "earthing-conductor": "earthing conductor",
    "earthing.": "earthing conductor",
    "bonding.": "main bonding conductor",
    "earth.": "protective conductor",
}
_CABLES = {"feed": "the feed", "supply": "the supply's tails"}


@dataclass(frozen=True)
class _Judged:
    conductor: Conductor
    fault: Endured
    level: Level
    least_mm2: float | None = None
    ask: str = ""


def check(case: Case) -> Findings:
    return check_of(case, "")


def check_of(case: Case, of: str) -> Findings:
    """The findings about one part alone, for whoever asks for no more; "": about every part."""
    groups, _ = alone(lambda: _groups(case, of))  # each group is read again when its turn comes
    for conductors in case.each(groups):
        judged = [found for conductor in conductors for found in _judged(case, conductor)]
        if judged:
            yield _finding(
                case,
                min(judged, key=lambda each: (_ORDER.index(each.level), -(each.least_mm2 or 0.0))),
            )


def _groups(case: Case, of: str) -> list[list[Conductor]]:
    """The conductors that one finding speaks of together: the lines of a cable, its neutral, its
    protective conductor.
    """
    groups: dict[tuple[str, str, str], list[Conductor]] = {}
    for conductor in case.wiring.conductors:
        # A wire inside the board, no longer than 3 m, may be thinner than the device ahead asks for
        # where a fault of its own
        # is as good as excluded (434.2.1); what flows on through it is judged at the cable it
        # serves.
        # A wire to metal is there for the fault itself: no clause excuses it.
        inside = conductor.kind == "bar" or conductor.kind == "link" and not _to_metal(conductor)
        if not inside and not _earthed_beside_a_core(case, conductor):
            owner = _owner(case, conductor)
            role = VEHICLE_LEAD if conductor.id.startswith(VEHICLE_LEAD) else _role(conductor)
            if of in ("", owner):
                groups.setdefault((owner, role, conductor.kind), []).append(conductor)
    return list(groups.values())


def _guarded_against_overload(conductor: Conductor) -> bool:
    """A live core of a cable whose device guards it against overload: it is guarded at small fault
    currents too (435.1).
    """
    return bool(conductor.cable) and conductor.function not in ("PE", "PEN")


def _to_metal(conductor: Conductor) -> bool:
    """A wire that joins a metal case, or a device ahead of the board, to earth."""
    return conductor.function == "PE" and conductor.id.startswith("earth.")


def _earthed_beside_a_core(case: Case, conductor: Conductor) -> bool:
    """An armour that is not itself the protective conductor: its steel stands beside a core that
    is, and no table holds its area.
    """
    cable = cable_of(case.sweep, conductor)
    return conductor.kind == "armour" and cable is not None and cable.protective != "armour"


def _owner(case: Case, conductor: Conductor) -> str:
    """The named part a conductor belongs to: its cable, else what it leads to."""
    if conductor.cable:
        return conductor.cable
    place = case.sweep.place(f"{conductor.id}:end") or case.sweep.place(f"{conductor.id}:start")
    return place.of if place is not None else "board"


def _role(conductor: Conductor) -> str:
    return (
        "protective"
        if conductor.function in ("PE", "PEN")
        else "neutral"
        if conductor.function == "N"
        else "line"
    )


def _judged(case: Case, conductor: Conductor) -> Iterator[_Judged]:
    constant = heat_constant(case.sweep, conductor)
    for fault in endured(case.sweep, conductor):
        if fault.ask:
            yield _Judged(conductor, fault, "unknown", ask=fault.ask)
        if fault.energy_a2s is None or fault.within_s is None:
            continue  # that nothing opens another rule says
        if fault.within_s > LONGEST_S:
            if not _guarded_against_overload(conductor):
                yield _Judged(
                    conductor,
                    fault,
                    "unknown",
                    ask=(
                        f"how long {ampere_words(fault.ampere)} last until"
                        f" {device_words(case, fault.device)} opens; its maker's curve tells"
                    ),
                )
            continue
        if isinstance(constant, Gap):
            yield _Judged(conductor, fault, "unknown", ask=f"the heat constant: {constant.message}")
            continue
        least = least_size_mm2(fault.energy_a2s, constant.value)
        if conductor.kind == "armour":
            yield _Judged(
                conductor,
                fault,
                "unknown",
                least,
                "the area of its steel, which no table here holds; ask its maker",
            )
        elif conductor.csa_mm2 is None:
            if conductor.missing:
                yield _Judged(
                    conductor, fault, "unknown", least, f"its size ({', '.join(conductor.missing)})"
                )
        elif within(least, conductor.csa_mm2):
            yield _Judged(conductor, fault, "pass", least)
        elif fault.counted:
            yield _Judged(
                conductor,
                fault,
                "unknown",
                least,
                f"the energy {fault.device} lets through at {fault.ampere / 1000:.3g} kA; ask its"
                " maker. Counted for as long as its standard allows, it would ask for"
                f" {least:.3g} mm²",
            )
        else:
            yield _Judged(conductor, fault, "fail", least)


def _finding(case: Case, worst: _Judged) -> Finding:
    conductor, fault = worst.conductor, worst.fault
    of, place, size = _owner(case, conductor), fault.at.partition(":")[2], conductor.csa_mm2
    terminal = conductor.start if place == "start" else conductor.end
    words = _words(case, conductor)
    if worst.level == "unknown":
        # The steel is known to the maker of the cable, not to that of the box it ends in.
        at = of if conductor.kind == "armour" else terminal
        return RULE.does_not_know(
            case, of, at, f"whether {words} survives: {worst.ask}", worst.least_mm2, "mm2"
        )
    opens = device_words(case, fault.device)
    if worst.level == "fail":
        return RULE.says(
            case,
            "fail",
            of,
            terminal,
            f"{words} does not survive a fault at {terminal}: {ampere_words(fault.ampere)} until"
            f" {opens} opens",
            size,
            worst.least_mm2,
            "mm2",
        )
    return RULE.passes(
        case,
        of,
        conductor.end if conductor.kind == "link" else of,
        f"{words} survives every fault it carries; the worst is {ampere_words(fault.ampere)} at"
        f" {terminal} until {opens} opens",
        size,
        worst.least_mm2,
        "mm2",
    )


def _words(case: Case, conductor: Conductor) -> str:
    """The conductor as the trade names it."""
    what = "the armour" if conductor.kind == "armour" else f"the {_role(conductor)} conductor"
    if conductor.kind == "lead":
        return f"the {_role(conductor)} lead of {_owner(case, conductor)}"
    if conductor.id.startswith(VEHICLE_LEAD):
        return f"the vehicle's lead at {_owner(case, conductor)}"
    if conductor.id.startswith("earth.") and conductor.id.endswith("enclosure"):
        owner = _owner(case, conductor)
        return f"the wire to the metal case of {'the board' if owner == 'board' else owner}"
    for prefix, name in WIRES.items():
        if conductor.id.startswith(prefix):
            return f"the {name} of {conductor.id.removeprefix(prefix).lstrip('.')}".removesuffix(
                " of "
            )
    return f"{what} of {_CABLES.get(conductor.cable) or (conductor.cable or conductor.id)}"
