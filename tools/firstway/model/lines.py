"""Model: what comes to the board: the lines, which of them a way takes, and the residual current
device at the origin.
"""

from __future__ import annotations

from firstway.model.installation import Installation, ResidualCurrentDevice, Way
from firstway.model.values import NONE, Absent, is_known, told


def lines_of(installation: Installation) -> tuple[str, ...]:
    """The lines that enter the board."""
    bar = installation.board.busbar
    if is_known(bar) and is_known(bar.lines):
        return tuple(bar.lines)
    if installation.supply.phases == 3:
        return ("L1", "L2", "L3")
    return ("L1", "L2") if installation.rules == "nec" else ("L1",)


def lines_of_way(installation: Installation, way: Way) -> tuple[str, ...]:
    """The lines a way takes: its own, those of its circuit, or those of what it hangs on."""
    ways, at, seen = {each.name: each for each in installation.board.ways}, way, set()
    while at.name not in seen:
        seen.add(at.name)
        if is_known(at.line):
            return (str(at.line),)
        circuit = next((each for each in installation.circuits if each.name == at.feeds), None)
        if circuit is not None:
            return tuple(str(line) for line in circuit.lines)
        at = ways.get(str(at.fed_from), at) if is_known(at.fed_from) else at
    return lines_of(installation)


def lines_given(installation: Installation, way: Way) -> tuple[str, ...]:
    """The lines there are where a way is fed from."""
    source = next(
        (each for each in installation.board.ways if each.name == way.fed_from and each is not way),
        None,
    )
    return lines_of_way(installation, source) if source is not None else lines_of(installation)


def residual_device_at_origin(installation: Installation) -> ResidualCurrentDevice | Absent:
    """That of the supply. Without `covers` it stands over all there is; with it over what is named,
    and for the feed it is as good as none where neither `feed` nor what the feed comes through is
    among that.
    """
    device = installation.supply.upstream_rcd
    if not is_known(device) or not is_known(device.covers):
        return device
    behind = {"feed"}
    if is_known(installation.feed):
        for item in installation.feed.through:
            if isinstance(item, str):
                behind |= {item, *item.split(".")}
    return device if behind & set(device.covers) else told(NONE, device.path)
