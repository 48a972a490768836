"""Calculations: the parts of a surge's loop, each as a process that is sent what reaches it at a
step and gives what it does then.

All walk the same plan of steps: fine at first, where the edges are, coarser after. Their state is
volts and ampere, so a change of step is a change of a few constants.

Sources of the method: H. W. Dommel, "Digital computer solution of electromagnetic transients in
single- and multiphase networks", IEEE Trans. PAS-88, 1969 (lines; trapezoidal companions of
inductors and capacitors); IEC 61051-1 (power law of a varistor).
"""

import math
from collections.abc import Callable, Generator, Sequence

from firstway.calculations.surge import GapLaw, SurgeCase, SurgeModel, Varistor
from firstway.frozen import dataclass

Plan = Sequence[tuple[float, int]]
"""Steps in s, and how many of each."""
Clamp = Generator[float, float, None]
"""Sent volts, gives ampere."""
# relative step at which Newton stops: the error left is about its square times the exponent
_NEWTON = 1e-4
_NO_CURRENT = (
    0.25  # below this share of its one-ampere voltage a varistor takes less than a microampere
)
_EXACT = 1e-9  # of a step: less is a whole number of steps


def started(part: Generator[float, float, None]) -> Callable[[float], float]:
    """What to send a part, once it waits for its first step."""
    next(part)
    return part.send


# ---- cables


def samples_read(delay_s: float, step: float) -> tuple[int, tuple[float, float, float, float]]:
    """How what reaches the end of a line is read from what was sent into it: how many samples are
    under way, and the weights of the four from the third before the oldest of them on.

    A delay is no whole number of steps: what arrives lies between four samples (Lagrange's third
    degree; between two it would lose what rings), or between two where the line is too short for
    four. No step is longer than the delay.
    """
    whole = math.ceil(delay_s / step - _EXACT)
    x = whole - delay_s / step
    if x < _EXACT:
        weights = (0.0, 1.0, 0.0, 0.0)
    elif whole < 3:
        weights = (0.0, 1 - x, x, 0.0)
    else:
        weights = (
            -x * (x - 1) * (x - 2) / 6,
            (x + 1) * (x - 1) * (x - 2) / 2,
            -(x + 1) * x * (x - 2) / 2,
            (x + 1) * x * (x - 1) / 6,
        )
    return whole, weights


def under_way(sent: Sequence[float], before: float, step: float, whole: int) -> list[float]:
    """The last waves in a line at another step, with some that are past, the latest last; before
    the surge there is none.
    """
    last, found = len(sent) - 1, []
    for back in range(whole + 2, -1, -1):
        at = last - back * step / before
        if at <= 0:
            found.append(0.0)
            continue
        early = min(int(at), last - 1)
        found.append(sent[early] + (sent[early + 1] - sent[early]) * (at - early))
    return found


# ---- what holds the voltage


def varistor(
    law: Varistor,
    henry: float,
    ohm: float,
    behind: Callable[[float], float],
    mains_v: float,
    plan: Plan,
) -> Clamp:
    """A varistor on its leads: sent the volts of its node without it, gives its current.

    `behind` is the resistance of the node at a step.
    """
    k, p, none_below = law.volts_at_1_a, 1 / law.alpha, _NO_CURRENT * law.volts_at_1_a
    ampere = lead_v = volts = 0.0
    for step, count in plan:
        lead_ohm = 2 * henry / step
        whole_ohm = behind(step) + law.series_ohm + ohm + lead_ohm
        last = volts
        for _ in range(count):
            driving = (yield ampere) + lead_ohm * ampere + lead_v + mains_v
            sign = 1.0 if driving >= 0.0 else -1.0
            driving *= sign
            if driving < none_below:
                volts, taken = driving, 0.0
            else:
                # guessed from the last two steps: the waves are smooth, so one round of Newton is
                # the rule
                volts, last = volts_held(2 * volts - last, driving, k, p, whole_ohm), volts
                taken = (driving - volts) / whole_ohm * sign
            lead_v = lead_ohm * (taken - ampere) - lead_v
            ampere = taken
    yield ampere


def spark_gap(
    gap: GapLaw,
    law: Varistor | None,
    henry: float,
    ohm: float,
    behind: Callable[[float], float],
    mains_v: float,
    plan: Plan,
) -> Clamp:
    """A spark gap on its leads, alone or in series with a varistor: sent the volts of its node
    without it, gives its current.

    Before it fires there is no current; from then on its arc, until the current ends.
    """
    k, p, series = (
        (1.0, 1.0, 0.0) if law is None else (law.volts_at_1_a, 1 / law.alpha, law.series_ohm)
    )
    ampere = lead_v = 0.0
    burns = 0.0  # the sign of the arc's current; 0 where there is none
    for step, count in plan:
        lead_ohm = 2 * henry / step
        whole_ohm = behind(step) + series + ohm + lead_ohm
        for _ in range(count):
            driving = (yield ampere) + lead_ohm * ampere + lead_v + mains_v
            above = burns * driving - gap.arc_v
            if not burns or above <= 0.0:
                ampere = lead_v = burns = 0.0
                if abs(driving) >= gap.fires_v:  # conducts from the next step on
                    burns = 1.0 if driving > 0.0 else -1.0
                continue
            if law is None:
                taken = above / whole_ohm
            elif above < _NO_CURRENT * k:
                taken = 0.0
            else:
                taken = (above - volts_held(0.0, above, k, p, whole_ohm)) / whole_ohm
            lead_v = lead_ohm * (burns * taken - ampere) - lead_v
            ampere = burns * taken
    yield ampere


def volts_held(guess: float, e: float, k: float, p: float, ohm: float) -> float:
    """Voltage v of a varistor behind e volts and `ohm`: v + ohm (v / k)^p = e, for e and v above
    zero.

    The left side is convex and rises: from above every round of Newton comes nearer and stays
    above. From below the first round jumps above, perhaps far; there the voltage the whole current
    would give is nearer.
    """
    near = 0.5 * e < guess < e or 0.5 * k < guess < e
    v: float = guess if near else min(e, k * (e / ohm) ** (1 / p))
    while True:
        i = (v / k) ** p
        less = (v + ohm * i - e) / (1 + ohm * p * i / v)
        v -= less
        if less < 0.0 and v > e:
            v = min(e, k * (e / ohm) ** (1 / p))
        elif -_NEWTON * v < less < _NEWTON * v:
            return v


def rectifier(
    model: SurgeModel, ohm: float, behind: Callable[[float], float], mains_v: float, plan: Plan
) -> Clamp:
    """A bridge of diodes that charges a capacitor, behind an earth of `ohm`: it takes a surge of
    either sign.
    """
    bus, ampere = model.rectifier_charged_volt, 0.0
    for step, count in plan:
        half = step / (2 * model.rectifier_farad)
        whole_ohm = behind(step) + model.rectifier_ohm + ohm + half
        for _ in range(count):
            driving = (yield ampere) + mains_v
            pushed = bus + half * abs(ampere)
            above = abs(driving) - model.rectifier_volt - pushed
            taken = above / whole_ohm if above > 0.0 else 0.0
            bus = pushed + half * taken
            ampere = taken if driving >= 0.0 else -taken
    yield ampere


# ---- what drives, or remembers: sent the volts of its node at the last step, gives the ampere it
# drives into it at this one, behind a conductance that the node counts in


def wave_siemens(model: SurgeModel, step: float) -> float:
    """The inductor of the generator with what lies behind it, at a step."""
    return _half_henry(model, step) * _damping(model, step)


def _half_henry(model: SurgeModel, step: float) -> float:
    return step / (2 * model.generator_henry)


def _half_farad(model: SurgeModel, step: float) -> tuple[float, float]:
    """Volts for one ampere of the capacitor beside its discharge resistor, and what is kept of its
    volts over a step.
    """
    half = step / (2 * model.generator_farad)
    drain = half / model.generator_discharge_ohm
    return half / (1 + drain), (1 - drain) / (1 + drain)


def _damping(model: SurgeModel, step: float) -> float:
    ohm = model.generator_series_ohm + _half_farad(model, step)[0]
    return 1 / (1 + _half_henry(model, step) * ohm)


def combination_wave(surge_v: float, model: SurgeModel, plan: Plan) -> Clamp:
    """The generator of IEC 61000-4-5: a capacitor across R1, then R2 and L in series. R3 is counted
    in by the node.
    """
    charged = across_l = model.generator_volt_per_volt * surge_v
    ampere, series = 0.0, model.generator_series_ohm
    yield 0.0
    for step, count in plan:
        half_l, damping, siemens = (
            _half_henry(model, step),
            _damping(model, step),
            wave_siemens(model, step),
        )
        give, keep = _half_farad(model, step)
        for _ in range(count):
            before = keep * charged - give * ampere
            driven = (ampere + half_l * (before + across_l)) * damping
            volts = yield driven
            ampere = driven - siemens * volts
            charged = before - give * ampere
            across_l = charged - series * ampere - volts


def current_impulse(impulse_a: float, model: SurgeModel, plan: Plan) -> Clamp:
    """8/20 us, whatever stands against it."""
    scale, tau, t = model.impulse_scale * impulse_a, model.impulse_tau_s, 0.0
    yield 0.0
    for step, count in plan:
        for _ in range(count):
            t += step
            yield scale * (t * 1e6) ** 3 * math.exp(-t / tau)


def long_impulse(impulse_a: float, model: SurgeModel, plan: Plan) -> Clamp:
    """10/350 us, whatever stands against it."""
    scale, t = impulse_a / model.long_correction, 0.0
    yield 0.0
    for step, count in plan:
        for _ in range(count):
            t += step
            x = (t / model.long_front_s) ** 10
            yield scale * x / (1 + x) * math.exp(-t / model.long_tail_s)


def ring_wave(surge_v: float, ohm: float, model: SurgeModel, plan: Plan) -> Clamp:
    """A wave that rings, behind the resistance of its generator."""
    scale, turn, t = model.ring_scale * surge_v / ohm, 2 * math.pi * model.ring_hertz, 0.0
    yield 0.0
    for step, count in plan:
        for _ in range(count):
            t += step
            rising, falling = math.exp(-t / model.ring_rise_s), math.exp(-t / model.ring_fall_s)
            yield scale * (1 - rising) * falling * math.cos(turn * t)


def capacitor_siemens(farad: float, ohm: float, step: float) -> float:
    """A capacitor and its own resistance, at a step."""
    return 1 / (ohm + step / (2 * farad))


def capacitor(farad: float, ohm: float, plan: Plan) -> Clamp:
    """A capacitor across a node, without charge at first."""
    charged = ampere = 0.0
    yield 0.0
    for step, count in plan:
        half, siemens = step / (2 * farad), capacitor_siemens(farad, ohm, step)
        for _ in range(count):
            before = charged + half * ampere
            volts = yield before * siemens
            ampere = (volts - before) * siemens
            charged = before + half * ampere


# ---- the nodes


def node_of_lines(
    drive: Callable[[float], float] | None,
    clamp: Callable[[float], float] | None,
    behind: Callable[[float], float],
    taken: list[float],
    lifted: Sequence[float],
    plan: Plan,
) -> Clamp:
    """A node between lines: sent the ampere that what reaches it drives into it, gives its volts.

    The ampere of what holds its voltage are put into `taken`; `lifted` holds the volts by which
    others lift the earth of that. One float in and one out: a pair costs five times as much.
    """
    volts, put = 0.0, taken.append
    for step, count in plan:
        ohm = behind(step)
        for _ in range(count):
            into = yield volts
            if drive is not None:
                into += drive(volts)
            volts = into * ohm
            if clamp is not None:
                ampere = clamp(volts - lifted[0])
                volts -= ohm * ampere
                put(ampere)
    yield volts


@dataclass(frozen=True)
class Contactor:
    """The contactor of the point, and beyond it the line to the vehicle, at one step.

    `siemens` as the point sees them; `share` of what the stray capacitor remembers comes through.
    """

    siemens: float
    share: float
    stray: float

    @staticmethod
    def of(case: SurgeCase, model: SurgeModel, line_ohm: float, step: float) -> "Contactor":
        """A closed one is a small resistance, an open one a small capacitor."""
        closed = case.contactor_closed
        stray = 0.0 if closed else 2 * model.open_contact_farad / step
        ohm = model.contact_ohm + case.loop_ohm if closed else model.open_contact_ohm
        through = 1 / ohm + stray
        return Contactor(1 / (1 / through + line_ohm), 1 / (1 + through * line_ohm), stray)
