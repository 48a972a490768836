"""A job's file as plain data, a few of its values changed: PyYAML alone reads it."""

from __future__ import annotations

import copy
import re
from pathlib import Path
from typing import Any

import yaml

from fault_circuits.network import Ohm, copper

DIAGRAMS = Path(__file__).parents[2] / "diagrams"
GONE = "(gone)"


class Given:
    """`given("board.ways.F1.leads.line.length_m")`.

    Items of lists are found by their name, or by their place from 1.
    """

    def __init__(self, job: str, change: str = "") -> None:
        self.data = yaml.safe_load((DIAGRAMS / f"{job}.yaml").read_text(encoding="utf-8"))
        for item in filter(None, (each.strip() for each in change.split(";"))):
            path, _, value = item.partition("=")
            self._put(path.strip(), yaml.safe_load(value))

    def __call__(self, path: str) -> Any:
        at: Any = self.data
        for step in path.split("."):
            at = _inside(at, step)
        return at

    def metres(self, path: str) -> float:
        """Length of a route, its stretches added."""
        return float(sum(stretch["length_m"] for stretch in self(f"{path}.route")))

    def ka(self, which: str) -> float:
        return float(self(f"supply.prospective_fault_current_ka.{which}"))

    def lead(self, way: str, which: str, limit_c: float = 70) -> Ohm:
        """A lead of a surge protective device."""
        lead = self(f"board.ways.{way}.leads.{which}")
        return copper(lead["csa_mm2"], lead["length_m"], limit_c)

    def text(self) -> str:
        """The changed file, for whoever reads files."""
        return yaml.safe_dump(self.data, sort_keys=False, allow_unicode=True)

    def _put(self, path: str, value: Any) -> None:
        # A key of known_by is a path itself: its full stops are written `\.`.
        head, _, last = re.sub(r"\\\.", "\0", path).rpartition(".")
        last = last.replace("\0", ".")
        holder = self(head) if head else self.data
        if value == GONE:
            del holder[last]
        elif isinstance(holder, list):
            holder.append(copy.deepcopy(value))
        else:
            holder[last] = copy.deepcopy(value)


def _inside(at: Any, step: str) -> Any:
    if isinstance(at, list):
        return (
            at[int(step) - 1]
            if step.isdigit()
            else next(each for each in at if each["name"] == step)
        )
    return at[step]
