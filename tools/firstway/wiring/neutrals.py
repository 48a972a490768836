"""Wiring: where a way and its circuit take their neutral from: what a residual current device sees
it must lead through it.
"""

from firstway.model.installation import Amount, Installation, MainSwitch, Way
from firstway.model.values import is_known
from firstway.wiring.draft import Draft


def passes_neutral(installation: Installation, way: Way) -> bool:
    """Whether the neutral leads through a device: a residual current device compares with it,
    another one only if it has the pole.
    """
    if not is_known(way.feeds):
        return (
            way.device in ("rcd", "rcbo")
            or way.device == "contactor"
            and _poles_for_neutral(way, way.protected_poles)
        )
    circuit = installation.circuit(str(way.feeds))
    if circuit.neutral is not True or way.device == "spd":
        return False
    return way.device in ("rcbo", "rcd", "contactor") or _poles_for_neutral(way, len(circuit.lines))


def _poles_for_neutral(way: Way, lines: Amount) -> bool:
    return is_known(way.switched_poles) and is_known(lines) and int(way.switched_poles) > int(lines)


def shares_neutral(installation: Installation, way: Way) -> bool:
    """Whether what hangs on the neutral behind a device meets on a neutral bar of its own: as the
    file says, else where several things do (common practice).
    """
    if is_known(way.feeds) or way.own_neutral_bar is False:
        return False
    return len(_behind(installation, way)) > (0 if way.own_neutral_bar is True else 1)


def _behind(installation: Installation, way: Way) -> list[str]:
    """What takes its neutral from behind a device: other ways, and circuits of ways that have no
    neutral pole.
    """
    found = []
    for other in installation.board.ways:
        if other.device != "blank" and _source(installation, other) == way.name:
            takes = other.device == "spd" or passes_neutral(installation, other)
            takes = (
                takes
                or is_known(other.feeds)
                and installation.circuit(str(other.feeds)).neutral is True
            )
            found += [other.name] if takes else []
    return found


def _source(installation: Installation, way: Way) -> str:
    """The nearest way towards the supply that the neutral leads through; "" where that is none."""
    ways, seen = {each.name: each for each in installation.board.ways}, set()
    at = ways.get(str(way.fed_from)) if is_known(way.fed_from) else None
    while at is not None and at.name not in seen:
        if passes_neutral(installation, at):
            return at.name
        seen.add(at.name)
        at = ways.get(str(at.fed_from)) if is_known(at.fed_from) else None
    return ""


def neutral_of(draft: Draft, way: Way) -> str:
    """The terminal a way, or the circuit of a way without a neutral pole, takes its
    neutral from.
    """
    installation = draft.installation
    source = _source(installation, way)
    if source:
        return (
            draft.at_bar(f"neutral-bar-{source}", "N")
            if shares_neutral(installation, installation.way(source))
            else f"{source}.load.N"
        )
    switch = installation.board.main_switch
    if way.fed_from == "supply-side" and is_known(switch) and _switches_neutral(draft, switch):
        return f"{switch.name}.supply.N"
    if way.fed_from == "supply-side" and not is_known(switch):
        return "origin.N"
    return draft.at_bar("neutral-bar", "N")


def _switches_neutral(draft: Draft, switch: MainSwitch) -> bool:
    return any(terminal.id == f"{switch.name}.supply.N" for terminal in draft.terminals)
