"""Checks: what a reading may be at most or at least, and where that comes from.

These limits rest on the working and on tables alone, not on what a tester is foretold to show: a
reading passes because it keeps a limit, never because it was expected.
"""

from dataclasses import replace

from firstway.checks.rule import Case, within
from firstway.frozen import dataclass
from firstway.model.installation import ChargingPoint, Circuit, Electrode, Way
from firstway.model.lines import residual_device_at_origin
from firstway.model.values import is_known, key_of
from firstway.tables.looking_up import disconnection_time_s, open_pen
from firstway.tables.reading import (
    Gap,
    declared_ze_ohm,
    electrode_advice_ohm,
    insulation_test_voltage_v,
    least_insulation_mohm,
    rcd_test_row,
    rule_limit,
    voltage_share,
)

BY_RESIDUAL = (
    "the overcurrent device alone would not open in time; the residual current device does: say so"
    " on the certificate"
)
TOO_WARM = "cold copper should read less: correct it for temperature, or look for a poor joint"
# The smallest circuits have the shortest time: it is the one to design to, whatever the rating.
_SMALLEST_RATING_A = 1.0
NOT_HELD = "no limit of the rules; local code and the maker decide"  # common practice
MEGOHM = "MΩ"


@dataclass(frozen=True)
class Limit:
    """At most `value` (or at least it); `least` where a reading may be too small as well.

    `words` where there is no figure. `advice`: beyond it the reading still stands, with a word.
    """

    value: float | None = None
    unit: str = ""
    at_most: bool = True
    words: str = ""
    least: float | None = None
    advice: float | None = None
    advice_words: str = ""

    def broken(self, value: float) -> float | None:
        """The bound a reading in the same unit lies beyond; None where it keeps the limit."""
        if self.least is not None and not within(self.least, value):
            return self.least
        if self.value is None:
            return None
        kept = within(value, self.value) if self.at_most else within(self.value, value)
        return None if kept else self.value

    def nearly_broken(self, value: float) -> bool:
        """Whether it keeps the limit, but lies beyond what calls for a word."""
        if self.advice is None or self.broken(value) is not None:
            return False
        return not (within(value, self.advice) if self.at_most else within(self.advice, value))


def external_loop_limit(case: Case) -> Limit:
    """Ze: what the network declares at most, and what the circuits leave room for.

    A loop above either is a fault of the network or of the means of earthing, whatever a residual
    current device would still clear.
    """
    supply = case.installation.supply
    found = [_room_for(case, circuit) for circuit in case.installation.circuits]
    room = [each for each in found if each is not None and each > 0]
    if case.installation.rules == "bs7671":
        declared = declared_ze_ohm(str(supply.system))
        room += [] if isinstance(declared, Gap) else [declared.value]
    if not room:
        return Limit(words="as the distributor declares")
    return Limit(min(room), "ohm")


def _room_for(case: Case, circuit: Circuit) -> float | None:
    """The largest Ze with which this circuit's overcurrent device still opens in time, cold."""
    limit = case.step("loop-impedance-reading-limit", circuit.name)
    loop = case.step("loop-impedance-reading", circuit.name)
    external = case.step("external-loop-impedance", circuit.name)
    steps = (limit, loop, external)
    values = [step.value for step in steps if step is not None and step.value is not None]
    return values[0] - (values[1] - values[2]) if len(values) == len(steps) else None


def whole_loop(case: Case, circuit: Circuit) -> Limit:
    """Zs at the point: 0.8 of the limit for a cold reading; between that and the limit, advice.

    Where the loop as designed is above the limit of its overcurrent device the residual current
    device does the work: a reading up to that loop is advice, as the loop itself is.
    """
    of = str(circuit.name)
    cold, hot = (case.step(f"loop-impedance{each}-limit", of) for each in ("-reading", ""))
    if cold is None or cold.value is None:
        return Limit(words="as the design asks")
    largest = cold.value if hot is None or hot.value is None else max(cold.value, hot.value)
    designed = case.step("loop-impedance", of)
    if designed is not None and designed.value is not None and not within(designed.value, largest):
        return Limit(designed.value, "ohm", advice=cold.value, advice_words=BY_RESIDUAL)
    return Limit(largest, "ohm", advice=cold.value, advice_words=TOO_WARM)


def both_conductors_limit(case: Case, circuit: Circuit) -> Limit:
    """R1+R2: what the loop leaves for the cable, where copper alone closes it. Where the supply
    leaves it nothing, at most the loop itself: a broken core is found whatever the supply is.
    """
    loop, external = whole_loop(case, circuit), case.step("external-loop-impedance", circuit.name)
    if loop.value is None or external is None or external.value is None:
        return Limit(words="near the design")
    feed = case.step("r1-plus-r2-reading", "feed")
    whole = loop.advice or loop.value
    left = whole - external.value - (feed.value or 0.0 if feed else 0.0)
    return Limit(left if left > 0 else whole, "ohm")


def insulation_limit(case: Case) -> Limit:
    """Insulation resistance, in megohm; below a second figure a fault is near."""
    least = least_insulation_mohm("up-to-500-v")
    if case.installation.rules == "nec" or isinstance(least, Gap):
        return Limit(words=NOT_HELD)
    again = rule_limit("bs7671", "insulation-look-again-below-mohm")
    return Limit(
        least.value,
        MEGOHM,
        at_most=False,
        advice=None if isinstance(again, Gap) else again.value,
        advice_words=(
            "new wiring reads hundreds of megohms: look for moisture or damage before it is a fault"
        ),
    )


def test_voltage_v() -> float:
    """The test voltage of a circuit up to 500 V."""
    found = insulation_test_voltage_v("up-to-500-v")
    return 500.0 if isinstance(found, Gap) else found.value


def opening_time(case: Case, way: Way, circuit: Circuit) -> Limit:
    """The time of a residual current device at its rated current, in ms.

    The test of the rules is one of alternating current at the rated residual current (BS 7671
    643.7.1, 643.8). A time that passes it may exceed the disconnection time of the circuit: a real
    fault drives many times that current, so this is advice.
    """
    row = rcd_test_row("verification", "S" if way.delay == "S" else "none")
    longest = None if isinstance(row, Gap) else row.number_or_none("longest_ms")
    if longest is None or isinstance(row, Gap):
        return Limit(words="its maker's time")
    asked_s = None if way.delay == "S" else _disconnection_s(case, circuit)
    return Limit(
        longest,
        "ms",
        least=row.number_or_none("shortest_ms"),
        advice=asked_s * 1000 if asked_s is not None and asked_s * 1000 < longest else None,
        advice_words=(
            "it passes the test of the device, and is slower at its rated current than the"
            " circuit asks; a real fault drives many times that current"
        ),
    )


def opening_time_at_origin(case: Case) -> Limit:
    """The time of the residual current device at the origin at its rated current, in ms (BS 7671
    643.7.1, 643.8).
    """
    delay = key_of(residual_device_at_origin(case.installation), "delay")
    row = rcd_test_row("verification", "S" if delay == "S" else "none")
    if not is_known(delay) or isinstance(row, Gap):
        return Limit(words="its maker's time")
    return Limit(row.number_or_none("longest_ms"), "ms", least=row.number_or_none("shortest_ms"))


def _disconnection_s(case: Case, circuit: Circuit) -> float | None:
    """The short disconnection time at this voltage, in s; None where the tables hold none."""
    rules, supply = case.installation.rules, case.installation.supply
    if rules == "nec":
        return None
    system = "TN" if case.step("source-electrode", str(circuit.name)) is None else "TT"
    volts = float(supply.line_to_earth_v)
    found = disconnection_time_s(rules, system, "final", False, _SMALLEST_RATING_A, volts)
    return None if isinstance(found, Gap) else found.value


def largest_current(case: Case) -> Limit:
    """The prospective fault current, in kA: what the weakest device at the board can break.

    A device below it may stand where the maker of the assembly declares it with the device ahead.
    """
    assembly = case.installation.board.assembly
    conditional = key_of(assembly, "conditional_fault_rating_ka")
    with_ahead = float(conditional) if is_known(conditional) else 0.0
    own = [
        float(way.breaking_capacity_ka)
        for way in case.installation.board.ways
        if is_known(way.breaking_capacity_ka)
    ]
    if not own:
        return Limit(words="below the breaking capacity of every device")
    return Limit(
        max(min(own), with_ahead),
        "kA",
        advice=min(own),
        advice_words=(
            "above the breaking capacity of the device itself: the maker of the"
            " board must declare it with the device ahead"
        ),
    )


def electrode_limit(case: Case, item: Electrode) -> Limit:
    """Resistance of an electrode: what its residual current device, or a broken PEN, asks."""
    steps = (
        case.step(step, item.name)
        for step in ("electrode-resistance-limit", "open-pen-electrode-limit")
    )
    limits = [step.value for step in steps if step is not None and step.value is not None]
    if not limits:
        measuring = item.use == "measuring"
        return Limit(words="no limit: for measuring only" if measuring else "as the design asks")
    drift = electrode_advice_ohm()
    return Limit(
        min(limits),
        "ohm",
        advice=None if isinstance(drift, Gap) else drift.value,
        advice_words="low enough, but a reading this high may drift with the season",
    )


def network_voltage(case: Case, between_lines: bool) -> Limit:
    """The voltage the network may deliver, in V."""
    supply = case.installation.supply
    nominal = supply.line_to_line_v if between_lines else supply.line_to_earth_v
    low, high = (voltage_share(case.installation.rules, which) for which in ("lowest", "highest"))
    if not is_known(nominal) or isinstance(low, Gap) or isinstance(high, Gap):
        return Limit(words="within the network's limits")
    volts = float(nominal)
    return Limit(volts * high.value, "V", least=volts * low.value)


def whole_conductor() -> Limit:
    """A conductor that is whole from end to end, in ohm."""
    found = rule_limit("bs7671", "joined-at-most-ohm")
    return (
        Limit(words="joined")
        if isinstance(found, Gap)
        else Limit(found.value, "ohm", words="joined")
    )


def earth_bar_joined(case: Case) -> Limit:
    """From the earth bar to the main earthing terminal, in ohm: whole from end to end, and looked
    at again where it reads more than the feed's conductors and a sound joint (common practice).
    """
    whole, joint = whole_conductor(), rule_limit("bs7671", "joint-look-again-above-ohm")
    feed = case.step("r1-plus-r2-reading", "feed")
    if whole.value is None or isinstance(joint, Gap) or feed is None or feed.value is None:
        return whole
    return replace(
        whole,
        advice=min(whole.value, joint.value + feed.value),
        advice_words="more than copper and a sound joint: clean it, tighten it, and read again",
    )


def earths_apart() -> Limit:
    """Two earths that no conductor joins: more than a whole conductor reads, in ohm."""
    found = rule_limit("bs7671", "joined-at-most-ohm")
    if isinstance(found, Gap):
        return Limit(words="not joined")
    return Limit(found.value, "ohm", at_most=False, words="not joined")


def lower_test_voltage_v() -> float:
    """The test voltage with a surge protective device that cannot be taken out."""
    found = insulation_test_voltage_v("up-to-500-v-with-spd")
    return 250.0 if isinstance(found, Gap) else found.value


def opens_against_broken_pen(case: Case, point: ChargingPoint) -> Limit:
    """How soon the device against a broken PEN must open, in s: its maker's time and the rules'."""
    device, asked = point.open_pen, open_pen("acts-within-s")
    times = [] if isinstance(asked, Gap) else [asked.value]
    if is_known(device) and is_known(device.acts_within_s):
        times.append(float(device.acts_within_s))
    return Limit(min(times), "s") if times else Limit(words="its maker's time")


def limited_current(case: Case, signal_lost: bool) -> Limit:
    """What a load limiter lets through, in A, by its sensor or without it."""
    found = case.installation.load_limiter
    ampere = key_of(found, "on_lost_signal_a" if signal_lost else "limit_a")
    return Limit(float(ampere), "A") if is_known(ampere) else Limit(words="its documented limit")


# A neutral that is whole stands at a few volts; 50 V is the touch voltage of BS 7671 411.5.3.
NEUTRAL_TO_EARTH = Limit(
    50.0,
    "V",
    advice=10.0,
    advice_words="load elsewhere lifts the neutral by a volt or two: look for a poor neutral",
)
NO_VOLTAGE = Limit(50.0, "V", words="no voltage")
