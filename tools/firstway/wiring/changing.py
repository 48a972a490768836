"""Wiring: explicit changes to the graph that follows from the file: remove, move, swap, add, set.

What cannot be done is told, not guessed.
"""

import difflib
import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

from firstway.frozen import dataclass
from firstway.model.evidence import alone
from firstway.model.installation import WiringChange
from firstway.model.values import is_known
from firstway.wiring.graph import Conductor, Function, Part, Terminal, Wiring, function_of, rested
from firstway.wiring.metal import bare_wire_c

_BARS: dict[str, Function] = {"neutral-bar": "N", "earth-bar": "PE"}
OPERATIONS = ("remove", "move", "swap", "add", "set")
"""What a change may do to a conductor: exactly one of these keys stands in it."""
# Places a change may bring in: what a point hands on to the vehicle, and other sources of supply.
_NEW_PLACE = re.compile(
    r"(?P<part>[A-Za-z0-9_-]+)\.outlet\.(?P<function>L1|L2|L3|N|PE)\Z|(?P<other>"
    r"second-supply|other-board)\.(?P<of>L1|L2|L3|N|PE)\Z"
)


@dataclass(frozen=True)
class RefusedChange:
    """A change that cannot be made: its place in the list (from 1), what is wrong, what to do."""

    place: int
    message: str
    hint: str


class _Refusal(Exception):
    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.message, self.hint = message, hint


@dataclass
class _Draft:
    parts: list[Part]
    terminals: list[Terminal]
    conductors: list[Conductor]

    def terminal(self, wanted: str) -> str:
        """A terminal of the wiring; a bar gives its next free position."""
        if wanted in _BARS or self._own_bar(wanted):
            return self._next_position(wanted)
        if any(terminal.id == wanted for terminal in self.terminals):
            return wanted
        found = _NEW_PLACE.match(wanted)
        if found:
            return self._new_place(
                wanted,
                found["part"] or found["other"],
                found["function"] or found["of"],
                bool(found["other"]),
            )
        raise _Refusal(
            f"there is no terminal '{wanted}'",
            _near(wanted, [terminal.id for terminal in self.terminals]),
        )

    def _own_bar(self, wanted: str) -> bool:
        """Whether it is the neutral bar of a residual current device."""
        return wanted.startswith("neutral-bar-") and any(
            terminal.device == wanted for terminal in self.terminals
        )

    def _next_position(self, bar: str) -> str:
        function = _BARS.get(bar, "N")
        places = [
            int(number)
            for terminal in self.terminals
            if terminal.device == bar and (number := terminal.id.rpartition(".")[2]).isdigit()
        ]
        last = max(places, default=0)
        here = f"{bar}.{last + 1}"
        self.terminals.append(Terminal(here, bar, function, "both", "top"))
        if last:
            colour = next(
                (
                    each.colour
                    for each in self.conductors
                    if each.function == function and each.kind == "bar"
                ),
                "",
            )
            self.conductors.append(
                Conductor(
                    f"{bar}.{last}-{last + 1}",
                    f"{bar}.{last}",
                    here,
                    function,
                    "bar",
                    None,
                    "",
                    colour,
                    None,
                )
            )
        return here

    def _new_place(self, wanted: str, part: str, function: str, is_source: bool) -> str:
        known = any(each.name == part for each in self.parts)
        if not known and not is_source:
            raise _Refusal(
                f"there is no part '{part}'", _near(part, [each.name for each in self.parts])
            )
        if not known:
            self.parts.append(Part(part, "origin", -2))
        self.terminals.append(Terminal(wanted, part, function_of(function), "load", "bottom"))
        return wanted

    def conductor(self, wanted: str) -> int:
        for place, each in enumerate(self.conductors):
            if each.id == wanted:
                return place
        raise _Refusal(
            f"there is no conductor '{wanted}'",
            _near(wanted, [each.id for each in self.conductors]),
        )


def changed(wiring: Wiring, changes: Sequence[WiringChange]) -> tuple[Wiring, list[RefusedChange]]:
    """The wiring with every change that can be made, in their order, and those that cannot."""
    draft = _Draft(list(wiring.parts), list(wiring.terminals), list(wiring.conductors))
    refused: list[RefusedChange] = []
    for place, change in enumerate(changes, 1):
        before = set(map(id, draft.conductors))
        try:
            seen = alone(lambda: _make(draft, change))[1]
        except _Refusal as reason:
            refused.append(RefusedChange(place, reason.message, reason.hint))
            continue
        own = tuple(path for path in seen if path.startswith("wiring"))
        draft.conductors = [
            each if id(each) in before else _resting_on(each, own) for each in draft.conductors
        ]
    return (
        Wiring.of(draft.parts, draft.terminals, draft.conductors, wiring.limiter)
        if changes
        else wiring
    ), refused


def _resting_on(conductor: Conductor, paths: tuple[str, ...]) -> Conductor:
    """A changed conductor: where it is joined rests on the change too."""
    evidence, joined_by = (*conductor.evidence, *paths), (*conductor.joined_by, *paths)
    return rested(replace(conductor, evidence=evidence, joined_by=joined_by))


def _make(draft: _Draft, change: WiringChange) -> None:
    given = [name for name in OPERATIONS if is_known(getattr(change, name))]
    if len(given) != 1:
        raise _Refusal(
            "a change needs exactly one of " + ", ".join(OPERATIONS), "write one change in one item"
        )
    {"remove": _remove, "move": _move, "swap": _swap, "add": _add, "set": _set}[given[0]](
        draft, change
    )


def _remove(draft: _Draft, change: WiringChange) -> None:
    del draft.conductors[draft.conductor(str(change.remove))]


def _move(draft: _Draft, change: WiringChange) -> None:
    place = draft.conductor(str(change.move))
    if not is_known(change.end) or not is_known(change.to):
        raise _Refusal(
            f"the move of '{change.move}' does not say which end goes where",
            "add `end: start` or `end: end`, and `to: TERMINAL`",
        )
    new: dict[str, Any] = {str(change.end): draft.terminal(str(change.to))}
    draft.conductors[place] = replace(draft.conductors[place], **new)


def _swap(draft: _Draft, change: WiringChange) -> None:
    pair = change.swap
    if not isinstance(pair, tuple) or len(pair) != 2:
        raise _Refusal("a swap needs two terminals", "write `swap: [TERMINAL, TERMINAL]`")
    for name in pair:
        if not any(terminal.id == name for terminal in draft.terminals):
            raise _Refusal(
                f"there is no terminal '{name}'",
                _near(name, [terminal.id for terminal in draft.terminals]),
            )
    other = {pair[0]: pair[1], pair[1]: pair[0]}
    draft.conductors = [
        replace(each, start=other.get(each.start, each.start), end=other.get(each.end, each.end))
        for each in draft.conductors
    ]


def _add(draft: _Draft, change: WiringChange) -> None:
    name = str(change.add)
    if any(each.id == name for each in draft.conductors):
        raise _Refusal(f"the conductor '{name}' stands already", "choose another name")
    if not is_known(change.from_) or not is_known(change.to):
        raise _Refusal(
            f"the new conductor '{name}' does not say what it joins",
            "add `from: TERMINAL` and `to: TERMINAL`",
        )
    start, end = draft.terminal(str(change.from_)), draft.terminal(str(change.to))
    functions = {terminal.id: terminal.function for terminal in draft.terminals}
    function = function_of(change.function) if is_known(change.function) else functions[start]
    size = float(change.csa_mm2) if is_known(change.csa_mm2) else None
    length = float(change.length_m) if is_known(change.length_m) else None
    draft.conductors.append(
        Conductor(
            name,
            start,
            end,
            function,
            "link",
            size,
            f"{size:g} mm²" if size else "",
            str(change.colour) if is_known(change.colour) else "",
            length,
            operating_c=bare_wire_c(),
            missing=("wiring",) if size is None or length is None else (),
        )
    )


def _set(draft: _Draft, change: WiringChange) -> None:
    place = draft.conductor(str(change.set))
    new: dict[str, Any] = {}
    for key in ("csa_mm2", "length_m", "colour", "contact", "contact_ohm"):
        value = getattr(change, key)
        if is_known(value):
            new[key] = value
    if not new:
        raise _Refusal(
            f"nothing is set on '{change.set}'",
            "add csa_mm2, length_m, colour, contact or contact_ohm",
        )
    if "csa_mm2" in new:
        new["size"] = f"{new['csa_mm2']:g} mm²"
    left = draft.conductors[place].missing
    new["missing"] = tuple(
        path for path in left if not any(path.endswith(f".{key}") for key in new)
    )
    if is_known(change.end):
        new["contact_end"] = change.end
    draft.conductors[place] = replace(draft.conductors[place], **new)


def touched(changes: Iterable[WiringChange], wiring: Wiring) -> frozenset[str]:
    """Every terminal a list of changes has to do with, before it is made; a new position counts as
    its bar.
    """
    ends = {each.id: (each.start, each.end) for each in wiring.conductors}
    found: set[str] = set()
    for change in changes:
        for key in ("remove", "move", "set"):
            name = getattr(change, key)
            if is_known(name):
                found.update(ends.get(str(name), ()))
        if isinstance(change.swap, tuple):
            found.update(change.swap)
            found.update(
                end for pair in ends.values() if set(pair) & set(change.swap) for end in pair
            )
        found.update(str(name) for name in (change.from_, change.to) if is_known(name))
    return frozenset(found)


def _near(wanted: str, choices: Sequence[str]) -> str:
    near = difflib.get_close_matches(wanted, choices, n=1, cutoff=0.6)
    return (
        f"did you mean '{near[0]}'?"
        if near
        else "use one of: " + ", ".join(choices[:12]) + (", ..." if len(choices) > 12 else "")
    )
