"""Every conductor is of a size its terminal is made for.

Why: a clamp made for thick wire does not hold a thin one, and a thick wire forced into a small clamp loses strands. Both heat.
A pass: 25 mm2 in a terminal for 6 to 35 mm2. A fail: 25 mm2 in one for up to 16 mm2.
"""

from __future__ import annotations

from typing import Iterator

from firstway.checks.case import Case
from firstway.checks.comparing import assumed_under, passed
from firstway.checks.finding import Finding
from firstway.checks.rule import Rule
from firstway.model.installation import MainSwitch, Way
from firstway.model.values import is_known

RULE = Rule("terminal-range", "Conductors fit their terminals", "BS 7671 526.2; IEC 60364-5-52 526.2", "2018+A3:2024", "fail", ("bs7671", "iec60364"))


def check(case: Case) -> Iterator[Finding]:
    board = case.installation.board
    if is_known(board.main_switch):
        yield from _of(case, board.main_switch, "board.main_switch.terminals")
    for way in board.ways:
        if way.device != "blank":
            yield from _of(case, way, f"board.ways.{way.name}.terminals")


def _of(case: Case, device: MainSwitch | Way, path: str) -> Iterator[Finding]:
    name, terminals = device.name, device.terminals
    ends = [(terminal.id, conductor.csa_mm2) for terminal in case.wiring.terminals_of(name)
            for conductor in case.wiring.conductors_at(terminal.id) if conductor.kind != "bar"]
    if not ends:
        return
    low = terminals.min_mm2 if is_known(terminals) else terminals
    high = terminals.max_mm2 if is_known(terminals) else terminals
    if not is_known(low) or not is_known(high):
        yield RULE.does_not_know(case, name, name, f"which sizes the terminals of {name} are made for; ask its maker", unit="mm2")
        return
    wrong = [(place, size) for place, size in ends if size is not None and not low <= size <= high]
    unsized = [place for place, size in ends if size is None]
    for place, size in wrong:
        bound = high if size > high else low
        yield RULE.says(case, "fail", name, place, f"a conductor of {size:g} mm² in a terminal of {name} made for {low:g} to {high:g} mm²", size, bound, "mm2")
    if not wrong and unsized:
        yield RULE.does_not_know(case, name, unsized[0], f"the size of the conductor at {', '.join(unsized)}", high, "mm2")
    elif not wrong:
        largest = max(size for _, size in ends if size is not None)
        yield passed(RULE, case, name, name, f"every conductor at {name} is of a size its terminals are made for",
                     (*assumed_under(case, path), *_sizes_assumed(case, device)), largest, high, "mm2")


def _sizes_assumed(case: Case, device: MainSwitch | Way) -> tuple[str, ...]:
    feeds = getattr(device, "feeds", None)
    if isinstance(feeds, str):
        return assumed_under(case, f"circuits.{feeds}.cable.csa_mm2", f"circuits.{feeds}.cable.cpc_mm2")
    return assumed_under(case, f"board.ways.{device.name}.leads") if isinstance(device, Way) else assumed_under(case, "feed.cable.csa_mm2")
