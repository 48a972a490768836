"""Helpers of tests: boards drawn at random for the layout, by changing shipped files; the same
number, the same board.
"""

from __future__ import annotations

import copy
from functools import cache
from random import Random

from changing import installation
from random_installations import (
    Data,
    data_of,
    installation_of,
    one_phase,
    three_phase,
)

from firstway.layout.plan import Layout
from firstway.layout.planning import layout_of
from firstway.model.installation import Installation
from firstway.wiring.deriving import wiring_of
from firstway.wiring.graph import Wiring

SIDES = ("top", "bottom", "left", "right", "back")


def drawn(number: int) -> Installation:
    """A board with what the file may say of it drawn: sides of entries and bars, end of the main
    switch, edge and pitch of the bar, 2 to 12 modules and more, one phase, three, or nec.
    """
    draw = Random(number)
    data = (one_phase, one_phase, three_phase, _nec)[number % 4](draw)
    board = data["board"]
    box, bar, tabbed = board["enclosure"], board["busbar"], number % 4 == 3
    box["feed_enters"], box["circuits_leave"] = draw.choice(SIDES), draw.choice(SIDES)
    box["main_switch_end"] = draw.choice(("left", "right", "left", "right", "top", "bottom"))
    box["neutral_bar"], box["earth_bar"] = draw.choice(SIDES[:4]), draw.choice(SIDES[:4])
    if not tabbed:
        bar["joins_at"] = draw.choice(("top", "bottom"))
        bar["pitch_mm"] = draw.choice((17.5, 17.5, 18, 27))
    used = sum(way["modules"] for way in board["ways"]) + (
        0 if board["main_switch"] == "none" else board["main_switch"]["modules"]
    )
    box["modules"] = used + draw.randint(0, 6)
    for key in ("width_mm", "height_mm", "depth_mm", "row", "neutral_bar_at", "earth_bar_at"):
        box.pop(key, None)
    for section in (data["feed"], *data["circuits"]):
        section.pop("opening", None)
    if draw.random() < 0.5:
        room = 150 if tabbed else 17.5 * box["modules"]
        along, across = room + draw.randint(150, 300), draw.randint(290, 420)
        if box["main_switch_end"] in ("top", "bottom"):
            along, across = across, along
        box["width_mm"], box["height_mm"] = along + 100 * tabbed, across + 100 * tabbed
        box["depth_mm"] = draw.choice((95, 100, 110, 125))
    return installation_of(data, f"drawn{number}")


def _nec(draw: Random) -> Data:
    """A nec panel, some with a second way to a second point."""
    data = data_of(draw.choice(("alder", "bramble")))
    for key in ("load_limiter", "vehicles", "readings", "known_by", "wiring"):
        data.pop(key, None)
    if draw.random() < 0.5:
        way = copy.deepcopy(data["board"]["ways"][1])
        circuit = copy.deepcopy(data["circuits"][0])
        point = copy.deepcopy(data["charging_points"][0])
        point["name"], circuit["name"], circuit["supplies"] = "post-2", "second", ["post-2"]
        way["name"], way["feeds"] = "F9", "second"
        data["board"]["ways"].append(way)
        data["circuits"].append(circuit)
        data["charging_points"].append(point)
    return data


def planned(installation: Installation) -> tuple[Layout, Wiring]:
    """The plan of an installation and the wiring it was laid from."""
    wiring = wiring_of(installation)
    return layout_of(installation, wiring), wiring


@cache
def shipped(name: str) -> tuple[Layout, Wiring]:
    """The plan of a shipped board and its wiring."""
    return planned(installation(name))
