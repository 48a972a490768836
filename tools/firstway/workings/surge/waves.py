"""Workings: surge: which wave is run, how strong it is, and the steps that say so."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from firstway.calculations.surge import SurgeCase
from firstway.frozen import dataclass
from firstway.model.installation import Way
from firstway.workings.shared.book import Book
from firstway.workings.shared.step import Step
from firstway.workings.surge.model import model_row

WaveName = Literal["combination-wave", "current-impulse", "ring-wave"]
"""What is run with the devices of this guide: 10/350 us is beyond them."""


@dataclass(frozen=True)
class AskedSurge:
    """What a study asks for: the wave, and its open-circuit voltage in V, None for the usual."""

    wave: WaveName = "combination-wave"
    volts: float | None = None


USUAL_SURGE = AskedSurge()


@dataclass(frozen=True)
class SentWave:
    """A wave with the steps it rests on: the peak of an impulse in kA; for a wave that rings the
    resistance of its generator and the loss of the cables.
    """

    name: WaveName = "combination-wave"
    rests_on: tuple[Step, ...] = ()

    def sent(self, case: SurgeCase) -> SurgeCase:
        """The case under this wave; its steps are known."""
        if self.name == "combination-wave" or not self.rests_on:
            return replace(case, source=self.name)
        first, *loss = [float(step.figure or 0) for step in self.rests_on]
        if self.name == "current-impulse":
            return replace(case, source=self.name, impulse_a=1000 * first)
        return replace(case, source=self.name, ring_ohm=first, loss_ohm_per_m=loss[0])


USUAL_WAVE = SentWave()


def wave_sent(book: Book, of: str, way: Way | None, name: WaveName) -> SentWave:
    """A wave towards the point `of`; the impulse is as strong as the device is rated for."""
    if name == "ring-wave":
        return SentWave(name, tuple(_once(book, of, *each) for each in _RINGING))
    if name == "combination-wave" or way is None:
        return SentWave(name)
    rated = book.find("nominal-discharge-current", way.name)
    return SentWave(name, (rated,) if rated is not None else ())


_RINGING = (
    ("ring-wave-ohm", "Resistance of its generator", "R_r", "ring-ohm", "ohm", 0),
    ("cable-loss", "Loss of the cables, out and back", "r", "loss-ohm-per-m", "ohm/m", 3),
)


def _once(
    book: Book, of: str, name: str, title: str, symbol: str, quantity: str, unit: str, places: int
) -> Step:
    """A row of the model as a step, written where it is not yet."""
    return book.find(name, of) or book.look_up(
        name, of, title, symbol, model_row(quantity), unit, places=places
    )


def wave_words(name: WaveName, volts: float) -> str:
    """The wave as a note has it; `volts` is its open-circuit voltage."""
    if name == "current-impulse":
        return "a current of 8/20 µs, as strong as the device is rated for"
    if name == "ring-wave":
        return f"a wave that rings with 100 kHz, of {volts / 1000:g} kV"
    return f"combination wave of {volts / 1000:g} kV and {volts / 2000:g} kA"
