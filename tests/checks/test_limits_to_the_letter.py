"""Figures that stand exactly at their limit, and counts that stand exactly at the edge of a case.

A rule that says "at most 5 s" is kept by 5 s. Such a figure is common: tables hold round values and
so do makers' sheets.
"""

from __future__ import annotations

import pytest
from changing import done, findings, text_of

from firstway.checks.reading_limits import external_loop_limit
from firstway.model.mistakes import ShownBy
from firstway.model.values import UNKNOWN, Absent
from firstway.tables.reading import Read
from firstway.wiring.circuit import States
from firstway.wiring.joined_groups import groups, source_terminals
from firstway.wiring.readings import NO_READING, READING_NOT_KNOWN, insulation, phase_sequence
from firstway.wiring.showing import reading_of
from firstway.workings.nec.cable import largest_device_a

SELECTIVE_RCD = (
    "upstream_rcd: {standard: IEC 61008-1, residual_type: A, rated_residual_current_ma: 100,"
    " delay: S}"
)


SERVICE = "service_device: {device: fuse, standard: BS 88-3, rating_a: 100}"


@pytest.mark.parametrize("service", [SERVICE, SERVICE.replace("100", "unknown")])
def test_the_nearest_device_that_is_sure_within_the_limit_is_named_also_at_the_limit(
    service: str,
) -> None:
    """BS 7671 Table 41.4: 63 A opens in 5 s, the limit of a distribution circuit in TN (411.3.2.3):
    it is told, not the one further off.

    What the one further off is need not be known then.
    """
    sweep = done("sedge", ("upstream_rcd: none", SELECTIVE_RCD), (SERVICE, service)).case.sweep
    place = sweep.place("Q1.load.L1")
    assert place is not None
    opening = sweep.opening(place, "earth")
    assert opening is not None and (opening.device, opening.within_s) == ("feed-switch-fuse", 5.0)


def test_a_route_of_one_stretch_has_no_worst_one() -> None:
    """The working names the worst stretch where there are several: "the worst of 1" would send the
    reader to look for others.
    """
    for step_id in ("required-capacity", "corrected-capacity"):
        step = done("alder").case.step(step_id, "garage")
        assert step is not None and "worst" not in step.note


@pytest.mark.parametrize("limit_a, demand_a", [(143, 143), (144, 144), (160, 144)])
def test_a_managed_demand_is_the_limit_only_where_it_would_be_more(
    limit_a: int, demand_a: float
) -> None:
    """NFPA 70 750.30: 96 A of the house and 48 A of the point, by hand 144 A."""
    senses = "{lines: [L1, L2], place: before-split, arrow: to-load}"
    limiter = (
        f"load_limiter: {{limit_a: {limit_a}, senses: {senses}, on_lost_signal_a: 0, documented:"
        " true}\n"
    )
    step = done("alder", ("existing_load:", limiter + "existing_load:")).case.step(
        "maximum-demand-L1", "supply"
    )
    assert step is not None and step.value == demand_a
    assert ("holds" in step.note) == (limit_a < 144)


@pytest.mark.parametrize(
    "name, poles, passes_through",
    [("marram", 1, False), ("marram", 2, True), ("osier", 3, False), ("osier", 4, True)],
)
def test_the_neutral_passes_a_main_switch_only_by_a_pole_more_than_the_lines(
    name: str, poles: int, passes_through: bool
) -> None:
    """A switch of as many poles as lines opens no neutral: drawn through it, the reader would take
    the bar for dead.
    """
    full = {"marram": 2, "osier": 4}[name]
    wiring = done(
        name, (f"switched_poles: {full}, rating_a", f"switched_poles: {poles}, rating_a")
    ).case.wiring
    assert (wiring.terminal("Q1.load.N") is not None) == passes_through


@pytest.mark.parametrize(
    "limit_a, feed_a, words",
    [
        (63, 63, "the limiter holds the sum of 64 A below this"),
        (64, 64, "the sum on L2"),
        (80, 64, "the sum on L2"),
    ],
)
def test_the_feed_carries_the_sum_on_the_fullest_line_unless_a_limiter_holds_it_below(
    limit_a: int, feed_a: float, words: str
) -> None:
    """By hand: 32 A of the yard on three lines and 32 A of the gate on L2."""
    step = done("sallow", ("limit_a: 80", f"limit_a: {limit_a}")).case.step(
        "design-current", "feed"
    )
    assert step is not None and (step.value, step.note) == (feed_a, words)


def test_on_one_line_there_is_no_fullest_one() -> None:
    step = done("marram").case.step("design-current", "feed")
    assert step is not None and step.note == ""


@pytest.mark.parametrize(
    "edition, words", [("2020", "services only"), ("2023", "215.18"), ("2026", "215.18")]
)
def test_feeders_are_spoken_of_from_the_edition_that_has_them(edition: str, words: str) -> None:
    """NFPA 70 215.18 came in 2023; 230.67, of services, in 2020."""
    text = text_of("alder")
    surge = text[text.index("    - {name: F1") : text.index("    - {name: F2")]
    said = findings(
        done("alder", (surge, ""), ('edition: "2023"', f'edition: "{edition}"')),
        "nec-surge-protection",
    )
    assert [finding.level for finding in said] == ["unknown"] and words in said[0].message


@pytest.mark.parametrize(
    "size, ampacity_a, device_a",
    [("14", 20, 15), ("12", 25, 20), ("10", 35, 30), ("10", 28, 30), ("8", 50, 50), ("6", 65, 70)],
)
def test_small_conductors_have_devices_of_their_own(
    size: str, ampacity_a: float, device_a: float
) -> None:
    """NFPA 70 240.4(D): 15, 20 and 30 A for 14, 12 and 10 AWG, whatever they carry; others the
    standard rating next above, 240.4(B), 240.6.
    """
    found = largest_device_a(size, ampacity_a)
    assert isinstance(found, Read) and found.value == device_a


def test_with_one_line_dead_there_is_no_phase_sequence() -> None:
    """A tester with two lines under voltage and one without shows none."""
    circuit = done("sallow").case.circuit
    terminals = ("origin.L1", "origin.L2", "yard-post.L3")
    assert phase_sequence(circuit, States(), terminals).words == "L1-L2-L3"
    assert phase_sequence(circuit, States(open=frozenset({"F2"})), terminals).words == NO_READING


def test_a_surge_device_of_unknown_voltage_foretells_no_insulation() -> None:
    """Connection type 2: a varistor whose voltage at 1 mA is not stated, beside a spark gap; 0
    megohm would be a false alarm.
    """
    circuit = done("sallow").case.circuit
    shown = insulation(
        circuit,
        States(open=frozenset({"origin"}), out=frozenset({"yard-post", "gate-post"})),
        ["F1.L1"],
        ["F1.N"],
        500,
    )
    assert (shown.value, shown.words) == (None, READING_NOT_KNOWN) and "1 mA" in shown.ask


@pytest.mark.parametrize(
    "said, feeding, live",
    [("false", False, False), ("false", True, True), ("unknown", False, True)],
)
def test_a_vehicle_is_a_source_where_it_feeds_or_is_not_known_not_to(
    said: str, feeding: bool, live: bool
) -> None:
    """Common practice: a point that may feed back is live from its vehicle; its line and neutral
    are, its protective conductor never.
    """
    circuit = done("marram", ("bidirectional: false", f"bidirectional: {said}")).case.circuit
    found = source_terminals(circuit, States(feeding=frozenset({"post-1"} if feeding else ())))
    assert {each for each in found if each.startswith("post-1")} == (
        {"post-1.outlet.L1", "post-1.outlet.N"} if live else set()
    )


@pytest.mark.parametrize(
    "name, most_ohm",
    [("plover", 0.874 - 51 * 6.16e-3 - 4 * 2.3e-3), ("marram", 0.35), ("sallow", 21)],
)
def test_ze_is_held_to_what_the_network_declares_and_to_the_room_the_circuits_leave(
    name: str, most_ohm: float
) -> None:
    """plover, by hand: 0.8 x 0.95 x 230 V / (5 x 40 A), less 51 m of 6 mm2 and 4 m of 16 mm2 there
    and back (IEC 60228: 3.08, 1.15 ohm/km).

    Declared by networks in Great Britain (from memory): 0.35 ohm in TN-C-S, 21 ohm in TT; in TT the
    way to earth leaves no overcurrent device a say.
    """
    assert external_loop_limit(done(name).case).value == pytest.approx(most_ohm)


def test_a_fault_of_three_lines_drives_the_current_the_network_states() -> None:
    """5.6 kA are stated; IEC 60909: 1.1 times at the highest voltage.

    A device that cannot break it may burst.
    """
    sweep = done("sallow").case.sweep
    place = sweep.place("origin.L1")
    currents = place and sweep.currents(place, "lines")
    assert currents is not None and currents.most_a == pytest.approx(1.1 * 5600)


def test_a_test_is_read_where_both_places_are_there() -> None:
    """Main switch off and the supply isolated: its pole is open (IEC 60947-3); a place that is not
    there gives no reading.
    """
    circuit = done("marram").case.circuit

    def shown(*between: str, off: tuple[str, ...] = ("origin",)) -> tuple[float | None, str]:
        nothing = Absent(UNKNOWN)
        found = reading_of(
            circuit, ShownBy("continuity", between, off, nothing, nothing, nothing, "open")
        )
        return found.value, found.words

    assert shown("met.PE", "post-1.PE")[0] is not None
    assert shown("Q1.supply.L1", "Q1.load.L1", off=("origin", "Q1")) == (None, "open")
    assert shown("met.PE", "post-9.PE") == (None, NO_READING)


@pytest.mark.parametrize(
    "name, colours",
    [("marram", {"L1": "brown"}), ("sallow", {"L1": "brown", "L2": "black", "L3": "grey"})],
)
def test_three_lines_have_three_colours(name: str, colours: dict[str, str]) -> None:
    """BS 7671 Table 51 (IEC 60445): brown, black, grey; neutral blue."""
    tails = {
        each.function: each.colour
        for each in done(name).case.wiring.conductors
        if each.id.startswith("tail.")
    }
    assert tails == {**colours, "N": "blue"}


@pytest.mark.parametrize("circuits, factor", [(20, 0.38), (21, None)])
def test_what_lies_beyond_a_table_names_the_table(circuits: int, factor: float | None) -> None:
    """BS 7671 Table 4C1 ends at 20 bunched circuits, with 0.38.

    What rests on a further row hands on what to look up.
    """
    stretch = "ambient_c: 30, grouped_circuits: 1, thermal_insulation_length_mm: 0}]\n  one"
    more = stretch.replace("circuits: 1", f"circuits: {circuits}, grouped_as: bunched")
    case = done("marram", (stretch, more)).case
    for step_id in ("grouping-factor-stretch-1", "corrected-capacity"):
        step = case.step(step_id, "feed")
        assert step is not None and step.missing == (() if factor else ("table grouping_factor",))
    first = case.step("grouping-factor-stretch-1", "feed")
    assert first is not None and first.value == factor


@pytest.mark.parametrize(
    "name, old, poles, opens",
    [
        ("sedge", "rating_a: 63}]", 1, False),
        ("sedge", "rating_a: 63}]", 2, True),
        ("sallow", "rating_a: 80}]", 3, False),
        ("sallow", "rating_a: 80}]", 4, True),
    ],
)
def test_a_device_ahead_opens_the_neutral_only_by_a_pole_more_than_the_lines(
    name: str, old: str, poles: int, opens: bool
) -> None:
    """Common practice: a switch-fuse has its lines first.

    A neutral taken for open, and joined, can bring the volts of another circuit.
    """
    circuit = done(name, (old, f"{old[:-2]}, poles: {poles}}}]")).case.circuit
    cut = groups(circuit, States(open=frozenset({"feed-switch-fuse"})))
    assert cut["service.supply.L1"] != cut["Q1.supply.L1"]
    assert (cut["service.supply.N"] != cut["Q1.supply.N"]) == opens


@pytest.mark.parametrize(
    "node, of, earth",
    [("service.supply.L1", "supply", "met.PE"), ("Q1.supply.L1", "board", "earth-bar.1")],
)
def test_a_fault_ahead_of_the_board_is_told_of_the_supply_and_meets_its_earth(
    node: str, of: str, earth: str
) -> None:
    """sedge: the service and the main earthing terminal hang in one place, the board with its earth
    bar behind a switch-fuse in another.
    """
    place = done("sedge").case.sweep.place(node)
    assert place is not None and (place.of, place.earth) == (of, earth)


@pytest.mark.parametrize("resistance", ["62", "unknown"])
def test_nothing_is_sure_to_open_while_the_electrode_is_not_known(resistance: str) -> None:
    """BS 7671 411.5.3: 30 mA trip at 62 ohm (230 V / 62 ohm is 3.7 A); through dry ground they may
    not, and no time is told.
    """
    sweep = done("tern", ("resistance_ohm: 62", f"resistance_ohm: {resistance}")).case.sweep
    place = sweep.place("F2.load.L1")
    opening = place and sweep.opening(place)
    assert opening is not None and (opening.device, bool(opening.ask)) == (
        ("", True) if resistance == "unknown" else ("F2", False)
    )
    assert (
        (opening.within_s is None)
        == bool(opening.ask)
        == any("rods" in each for each in opening.missing)
    )


@pytest.mark.parametrize("existing_a, left_a", [(48, 0), (49, -1)])
def test_a_service_that_is_just_enough_is_not_too_small(existing_a: int, left_a: float) -> None:
    """By hand: 80 A of the service less 32 A of the point and the house."""
    step = done(
        "marram",
        ("maximum_demand_a: 41", f"maximum_demand_a: {existing_a}"),
        ("limit_a: 70", "limit_a: 100"),
    ).case.step("spare-capacity", "supply")
    assert (
        step is not None
        and step.value == left_a
        and ("less than nothing" in step.note) == (left_a < 0)
    )
