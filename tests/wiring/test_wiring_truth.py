"""The graph tells the truth of the file: what stands ahead of the board, what is joined to what,
and what is not known.

What is asked here is topology: the expected joins are read off the file by eye, as a fitter would;
nothing is taken from the code.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations

import pytest
from changing import installation, text_of
from sampling import JOBS

from firstway.calculations.nodal import merged
from firstway.model.evidence import alone, scope, with_known_by
from firstway.model.installation import Installation
from firstway.model.reading import installation_from_yaml
from firstway.wiring.circuit import States, circuit_of
from firstway.wiring.deriving import wiring_of
from firstway.wiring.graph import Wiring
from firstway.wiring.joined_groups import groups
from firstway.wiring.links import Link
from firstway.wiring.readings import residual_currents_a

RCBO_OF_MARRAM = """{name: F2, device: rcbo, modules: 2, fed_from: bar, line: L1, feeds: slipway, standard: IEC 61009-1, protected_poles: 1, switched_poles: 2,
       rating_a: 40, curve: B, rated_residual_current_ma: 30, residual_type: A, delay: none, breaking_capacity_ka: 6,"""
RCD_AND_BREAKER = """{name: R1, device: rcd, modules: 2, fed_from: bar, line: L1, standard: IEC 61008-1, switched_poles: 2, rating_a: 63,
       rated_residual_current_ma: 30, residual_type: A, delay: none}
    - {name: F2, device: circuit-breaker, modules: 1, fed_from: R1, line: L1, feeds: slipway, standard: IEC 60898-1, protected_poles: 1, switched_poles: 1,
       rating_a: 40, curve: B, breaking_capacity_ka: 6,"""
BEHIND_AN_RCD = ("marram", (RCBO_OF_MARRAM, RCD_AND_BREAKER))


def joined(file: Installation, states: States = States()) -> dict[str, str]:
    return groups(circuit_of(file, wiring_of(file)), states)


def links_of(file: Installation) -> dict[str, Link]:
    return {link.id: link for link in circuit_of(file, wiring_of(file)).links}


def ends(graph: Wiring, identity: str) -> tuple[str, str]:
    found = next(conductor for conductor in graph.conductors if conductor.id == identity)
    return found.start, found.end


# ---- ahead of the board


def test_devices_of_the_feed_open_it() -> None:
    """sallow: service fuse, isolator, 100 mA S device, switch-fuse, main switch, in this order."""
    file = installation("sallow")
    names = [
        part.name
        for part in sorted(wiring_of(file).parts, key=lambda part: part.order)
        if part.kind in ("fuse", "switch-fuse", "isolator", "rcd", "main-switch")
        and part.order <= 0
    ]
    assert names == ["service", "isolator", "upstream-rcd", "feed-switch-fuse", "Q1"]
    assert joined(file)["service.load.L2"] == joined(file)["Q1.load.L2"]
    for place, name in enumerate(names):
        cut = joined(file, States(open=frozenset({name})))
        for other in names[place + 1 :]:
            assert cut["service.supply.L2"] != cut[f"{other}.load.L2"], (name, other)
        assert cut["service.supply.L2"] == cut[f"{name}.supply.L2"]


def test_a_fuse_leaves_the_neutral_and_a_residual_device_opens_it() -> None:
    """BS 7671 461.2: no fuse in a neutral; IEC 61008-1: poles that open together."""
    file = installation("sallow")
    for name, whole in (
        ("service", True),
        ("feed-switch-fuse", True),
        ("isolator", False),
        ("upstream-rcd", False),
    ):
        cut = joined(file, States(open=frozenset({name})))
        assert (cut["service.supply.N"] == cut["Q1.supply.N"]) is whole, name


def test_a_way_behind_an_existing_residual_device_runs_through_it() -> None:
    """quince: the feed comes from the right-hand side of the hall's board, which its 30 mA device
    covers.
    """
    graph = wiring_of(installation("quince"))
    device = graph.part("hall-rcd")
    assert device is not None and device.path == "existing_boards.hall.rcds.1"
    assert ends(graph, "feed.L1")[0] == "feed-fuse.load.L1" and ends(
        graph, "link.L1.feed-fuse"
    ) == ("hall-rcd.load.L1", "feed-fuse.supply.L1")


def test_tails_have_size_and_length_and_add_no_impedance() -> None:
    """The impedance stated is that at the origin: the tails are in it."""
    file = installation("marram")
    tail = next(conductor for conductor in wiring_of(file).conductors if conductor.id == "tail.L1")
    assert (tail.csa_mm2, tail.length_m, tail.counted_in) == (25, 0.6, "supply")
    assert links_of(file)["tail.L1"].ohm == 0.0


def test_isolation_at_the_origin_leaves_what_stands_ahead_live() -> None:
    found = circuit_of(installation("sallow"), wiring_of(installation("sallow")))
    cut = groups(found, States(open=frozenset({"origin"})))
    assert cut["service.supply.L1"] == cut["upstream-rcd.load.L1"] != cut["origin.L1"]


def test_a_multicore_feed_brings_its_protective_core_from_where_its_other_cores_come() -> None:
    assert ends(wiring_of(installation("plover")), "feed.PE")[0] == "harbour-office.PE"
    assert ends(wiring_of(installation("dunlin")), "feed.PE")[0] == "feed-switch-fuse.PE"
    assert ends(wiring_of(installation("marram")), "feed.PE")[0] == "met.PE", (
        "single cores: from the main earthing terminal"
    )
    for name in ("plover", "dunlin"):
        cut = joined(installation(name))
        assert cut["earth-bar.1"] == cut["met.PE"]


def test_the_limiter_has_its_sensors_around_the_conductors_it_measures() -> None:
    before = wiring_of(installation("sallow")).limiter
    assert before is not None and [(each.line, each.around) for each in before.sensors] == [
        ("L1", "tail.L1"),
        ("L2", "tail.L2"),
        ("L3", "tail.L3"),
    ]
    assert before.holds == ("yard-post", "gate-post")
    after = wiring_of(installation("marram", ("place: before-split", "place: after-split"))).limiter
    assert after is not None and [each.around for each in after.sensors] == ["feed.L1"]


# ---- metal that is touched


@pytest.mark.parametrize(
    "words, earthed",
    [
        ("earthed_by: earth-bar, ", True),
        ("earthed_by: conductor, protective_mm2: 6, ", True),
        ("earthed_by: none, ", False),
    ],
)
def test_a_metal_enclosure_is_a_place_and_is_earthed_as_the_file_says(
    words: str, earthed: bool
) -> None:
    file = installation("osier", ("earthed_by: earth-bar, feed_enters", f"{words}feed_enters"))
    found = joined(file)
    assert (found["enclosure.PE"] == found["earth-bar.1"]) is earthed


def test_how_an_enclosure_is_earthed_is_asked_where_the_file_does_not_say() -> None:
    link = links_of(installation("osier", ("earthed_by: earth-bar, feed_enters", "feed_enters")))[
        "earth.enclosure"
    ]
    assert link.ohm is None and link.missing == ("board.enclosure.earthed_by",)


def test_a_plastic_enclosure_is_no_place_of_a_fault() -> None:
    graph = wiring_of(
        installation(
            "osier", ("enclosure: {material: steel, width", "enclosure: {material: plastic, width")
        )
    )
    assert graph.part("enclosure") is None and graph.part("workshop.enclosure") is not None


def test_the_point_hands_on_to_a_lead_a_plug_and_the_metal_of_the_vehicle() -> None:
    found = joined(installation("marram"))
    assert found["post-1.vehicle.PE"] == found["post-1.plug.PE"] == found["post-1.PE"]
    assert found["post-1.plug.L1"] == found["post-1.L1"]
    assert links_of(installation("marram"))["vehicle-lead.post-1.L1"].ohm == pytest.approx(
        3.30 * 7.5 / 1000
    ), "IEC 60228, class 5: 6 mm2 has 3.30 ohm/km"
    link = links_of(installation("marram", ("lead_mm2: 6", "lead_mm2: undeclared")))[
        "vehicle-lead.post-1.L1"
    ]
    assert link.ohm is None and link.missing == ("charging_points.post-1.lead_mm2",), (
        "the maker's size"
    )


@pytest.mark.parametrize(
    "words, earthed", [("conductor, protective_mm2: 6", True), ("none", False)]
)
def test_the_metal_case_of_a_point_is_a_place_too(words: str, earthed: bool) -> None:
    found = joined(
        installation(
            "plover",
            (
                "material: steel, earthed_by: conductor, protective_mm2: 6}",
                f"material: steel, earthed_by: {words}}}",
            ),
        )
    )
    assert (found["quay-post.enclosure.PE"] == found["quay-post.PE"]) is earthed


def test_no_bonding_is_no_conductor_and_unknown_bonding_is_asked() -> None:
    none = installation("marram", ("main_bonding_mm2: 10", "main_bonding_mm2: none"))
    assert (
        "bonding.boathouse" not in links_of(none)
        and joined(none)["boathouse-bonded.PE"] != joined(none)["met.PE"]
    )
    unknown = installation("marram", ("main_bonding_mm2: 10", "main_bonding_mm2: unknown"))
    assert (
        "existing_boards.boathouse.main_bonding_mm2"
        in links_of(unknown)["bonding.boathouse"].missing
    )


# ---- armour, protective conductors, electrodes


@pytest.mark.parametrize(
    "words, near, far",
    [
        ("board-end", True, False),
        ("far-end", False, True),
        ("both-ends", True, True),
        ("neither-end", False, False),
    ],
)
def test_armour_is_joined_at_the_ends_the_file_says(words: str, near: bool, far: bool) -> None:
    file = installation("marram", ("armour_earthed: board-end", f"armour_earthed: {words}"))
    start, end = ends(wiring_of(file), "slipway.armour")
    without_core = groups(circuit_of(file, wiring_of(file)), without=("slipway.PE",))
    assert (without_core[start] == without_core["earth-bar.1"]) is near
    assert (without_core[end] == without_core["post-1.PE"]) is far


@pytest.mark.parametrize(
    "words, whole", [("board-end", False), ("far-end", False), ("both-ends", True)]
)
def test_armour_as_the_only_protective_conductor_must_be_joined_at_both_ends(
    words: str, whole: bool
) -> None:
    file = installation(
        "marram",
        ("protective: core, cpc_mm2: choose,   #", "protective: armour,   #"),
        ("armour_earthed: board-end", f"armour_earthed: {words}"),
    )
    found = joined(file)
    assert (found["post-1.PE"] == found["earth-bar.1"]) is whole


def test_a_cable_without_a_protective_conductor_joins_no_earth() -> None:
    found = joined(
        installation(
            "sedge",
            ("protective: core, cpc_mm2: choose, terminals_c", "protective: none, terminals_c"),
        )
    )
    assert found["gable-point.PE"] != found["earth-bar.1"]


def test_a_second_point_goes_on_from_the_parked_conductor_not_from_the_rod_of_the_first() -> None:
    """quince: the first point stands on its own rod; the second on the supply's earth."""
    quince = installation("quince")
    second = replace(quince.point("post-1"), name="post-2", earthed_by="supply")
    circuit = replace(quince.circuits[0], supplies=("post-1", "post-2"))
    found = joined(
        replace(quince, circuits=(circuit,), charging_points=(*quince.charging_points, second))
    )
    assert found["post-2.PE"] == found["earth-bar.1"] != found["post-1.PE"] == found["rod-1.PE"]


# ---- a residual current device with plain breakers behind it


def test_the_neutral_of_a_breaker_leads_through_the_residual_device_ahead_of_it() -> None:
    name, change = BEHIND_AN_RCD
    file = installation(name, change)
    cut = joined(file, States(open=frozenset({"R1"})))
    assert (
        cut["post-1.N"] != cut["neutral-bar.1"]
        and joined(file)["post-1.N"] == joined(file)["neutral-bar.1"]
    )
    assert ends(wiring_of(file), "slipway.N")[0] == "R1.load.N"


def test_what_shares_the_neutral_behind_it_meets_on_a_bar_of_its_own() -> None:
    name, (old, new) = BEHIND_AN_RCD
    spd = (
        "    - {name: F3, device: spd, modules: 2, fed_from: R1, type: 2, connection: CT1}\n    -"
        " {name: F2"
    )
    file = installation(name, (old, new.replace("    - {name: F2", spd)))
    cut = joined(file, States(open=frozenset({"R1"})))
    assert cut["post-1.N"] == cut["F3.N"] == cut["neutral-bar-R1.1"] != cut["neutral-bar.1"]


def test_the_load_does_not_trip_it() -> None:
    """Kirchhoff: what goes out by the line comes back by the neutral through the same device."""
    name, change = BEHIND_AN_RCD
    file = installation(name, change)
    found = circuit_of(
        replace(
            file,
            circuits=tuple(
                replace(each, cable=replace(each.cable, csa_mm2=6.0, cpc_mm2=6.0))
                for each in file.circuits
            ),
        ),
        wiring_of(file),
    )
    seen = residual_currents_a(found, States(charging=frozenset({"post-1"})))
    assert seen["R1"] == pytest.approx(0.0, abs=1e-6)


# ---- the order of the ways


def plain(graph: Wiring) -> set[tuple[str, frozenset[str]]]:
    """What joins what, places along a bar left aside: those follow the order of the ways, as on the
    rail.
    """
    bars = [
        (conductor.start, conductor.end)
        for conductor in graph.conductors
        if conductor.kind == "bar"
        and graph.terminal(conductor.start).device == graph.terminal(conductor.end).device
    ]
    group = merged((terminal.id for terminal in graph.terminals), bars)
    members: dict[str, list[str]] = {}
    for terminal in graph.terminals:
        members.setdefault(group[terminal.id], []).append(terminal.id)

    def named(terminal: str) -> str:
        own = members[group[terminal]]
        device = graph.terminal(terminal).device
        return (
            terminal
            if len(own) == 1 and not own[0].rpartition(".")[2].isdigit()
            else f"{device} {graph.terminal(terminal).function}"
        )

    return {
        (conductor.id, frozenset((named(conductor.start), named(conductor.end))))
        for conductor in graph.conductors
        if (conductor.start, conductor.end) not in bars
    }


ORDERED = {
    "marram": (),
    "quince": (),
    "sallow": (),
    "plover": (),
    "alder": (),
    "behind an rcd": (BEHIND_AN_RCD[1],),
}


@pytest.mark.parametrize("name", ORDERED)
def test_the_graph_does_not_depend_on_the_order_of_ways(name: str) -> None:
    file = installation(name if name in JOBS else BEHIND_AN_RCD[0], *ORDERED[name])
    right = plain(wiring_of(file))
    for ways in permutations(file.board.ways):
        turned = replace(file, board=replace(file.board, ways=ways))
        assert plain(wiring_of(turned)) == right, [way.name for way in ways]


# ---- evidence and drawings


@pytest.mark.parametrize(
    "path, rests",
    [
        ("feed.cable.csa_mm2", {"feed.L1", "feed.N"}),
        ("feed.cable.cpc_mm2", {"feed.PE"}),
        ("feed.route.1.length_m", {"feed.L1", "feed.N", "feed.PE"}),
        ("supply.line_neutral_loop_ohm", {"supply.L1", "supply.N", "supply.PEN", "supply.PE"}),
        ("electrodes.rod-1.resistance_ohm", {"electrode.rod-1"}),
        ("supply.line_to_earth_v", {"supply.L1"}),
        ("circuits.slipway.cable.colours", set()),
        ("feed.cable.colours", set()),
        (
            "charging_points.post-1.lead_m",
            {"vehicle-lead.post-1.L1", "vehicle-lead.post-1.N", "vehicle-lead.post-1.PE"},
        ),
    ],
)
def test_links_rest_on_what_they_were_made_from_and_nothing_else(
    path: str, rests: set[str]
) -> None:
    file = with_known_by(installation("marram"), {path: "assumed"})
    with scope() as seen:
        links = links_of(file)
    assert {name for name, link in links.items() if path in link.evidence} == rests
    assert path not in seen.paths, "whoever asks for the circuit has read nothing of it yet"
    assert {name for name, link in links.items() if path in alone(lambda: link.ohm)[1]} == rests, (
        "who reads what it has rests on it"
    )


@pytest.mark.parametrize(
    "path, rests",
    [
        ("supply.isolator", {"tail.L1", "link.L1.origin", "pole.isolator.L1"}),
        ("charging_points.post-1.earthed_by", {"slipway.PE"}),
        ("board.enclosure.earthed_by", {"earth.enclosure"}),
    ],
)
def test_links_rest_on_what_decides_that_they_are_there(path: str, rests: set[str]) -> None:
    """An isolator that nobody looked for may not open anything; the feed and the board behind it
    are joined as they are.
    """
    links = links_of(with_known_by(installation("marram"), {path: "assumed"}))
    resting = {name for name, link in links.items() if path in link.evidence}
    assert rests <= resting and not resting & {"feed.L1", "tooth.L1.F2", "slipway.L1"}


def test_a_wire_that_was_changed_rests_on_its_own_size_and_nobody_else_does() -> None:
    """Who asks for the wiring has read nothing of a wire yet."""
    text = f"{text_of('marram')}\nwiring: [{{set: slipway.L1, colour: blue}}]\n"
    whole, problems = installation_from_yaml(text, "marram.yaml", "marram")
    assert whole is not None, problems
    path = "circuits.slipway.cable.data_pair_v"
    file = with_known_by(whole, {"wiring": "assumed", path: "assumed"})
    with scope() as seen:
        wiring_of(file)
    assert seen.paths == ()


@pytest.mark.parametrize("name", JOBS)
def test_what_is_drawn_is_joined_as_the_whole_graph_is(name: str) -> None:
    """Folding hides parts, never a join between two shown terminals, and makes none."""
    file = installation(name)
    graph = wiring_of(file)
    shown = {terminal.id for terminal in graph.drawn.terminals}
    whole, folded = groups(circuit_of(file, graph)), groups(circuit_of(file, graph.drawn))
    for one in shown:
        for other in shown:
            assert (whole[one] == whole[other]) == (folded[one] == folded[other]), (one, other)
    assert {part.name for part in graph.parts} - {part.name for part in graph.drawn.parts} >= {
        "service"
    }
