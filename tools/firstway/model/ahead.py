"""Model: the residual current device at the origin, where the new board lies behind it."""

from __future__ import annotations

from firstway.model.installation import Installation, ResidualCurrentDevice
from firstway.model.values import NONE, Absent, is_known, told


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
