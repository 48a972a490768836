"""The survey and the inspection: that nothing is asked twice, that what is asked decides what the
sheet says it does, and that a board somebody else fitted is found out.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from fnmatch import fnmatchcase
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from changing import done, text_of
from sampling import JOBS

import firstway.record.looking
from firstway.checks.rule import Case
from firstway.checks.running import findings_of, rules
from firstway.choosing.completing import Completed, completed
from firstway.files.schema import sections_inside
from firstway.files.specs import Sections, specs_of
from firstway.files.splicing import with_value
from firstway.model.blank import blank_installation
from firstway.model.evidence import with_known_by
from firstway.model.installation import Installation
from firstway.model.reading import installation_from_yaml
from firstway.record.looking import SiteSheet, to_find, walk
from firstway.record.making import papers_of, site_page
from firstway.record.site_sheets import SITE_SHEETS, WHO

WHY_NOT = Path(firstway.record.looking.__file__).with_name("not_asked.csv")
FOREIGN = Path(__file__).parents[1] / "engine/survey/pellmoor.yaml"
# what they alone state is asked too
PLACES = tuple("avocet coot curlew heron mallow rowan teasel wren yarrow".split())
PAIRS = [(row.key, rule) for row in walk() for rule in row.rules]


def done_from(text: str) -> Completed | None:
    installation, problems = installation_from_yaml(text, "job.yaml", "job")
    if installation is None or problems:
        return None
    made, problems = completed(installation)
    return None if problems else made


@pytest.fixture(scope="module")
def blank() -> Completed:
    made = done_from(blank_installation())
    assert made is not None
    return made


@pytest.fixture(scope="module")
def foreign() -> Completed:
    made = done_from(FOREIGN.read_text("utf-8"))
    assert made is not None
    return made


def said(html: str) -> str:
    return " ".join(BeautifulSoup(html, "html.parser").get_text(" ").split())


def test_walk__asks_each_key_once_of_people_and_rules_that_there_are() -> None:
    keys = [row.key for row in walk()]
    assert len(keys) == len(set(keys)) > 100
    assert {row.who for row in walk()} == set(WHO)
    assert {rule for row in walk() for rule in row.rules} <= {each.RULE.id for each in rules()}
    assert {row.sheet for row in walk()} == {"survey", "inspection", "both"}


def _keys(of: type, start: str = "") -> Iterator[str]:
    for name, spec in specs_of(of).items():
        inside = sections_inside(spec.kind)
        if inside:
            several = isinstance(spec.kind, Sections)
            yield from _keys(inside[0], f"{start}{name}.{'*.' if several else ''}")
        else:
            yield f"{start}{name}"


def test_walk__every_key_is_asked_for_or_a_reason_says_why_not() -> None:
    with WHY_NOT.open(encoding="utf-8", newline="") as file:
        reasons = [
            each for row in csv.DictReader(file) if row["why"] for each in row["keys"].split()
        ]
    asked, keys = {row.key for row in walk()}, set(_keys(Installation))
    assert asked <= keys
    left = {key for key in keys - asked if not any(fnmatchcase(key, each) for each in reasons)}
    assert not left, "a row of looked_at.csv, or a reason in not_asked.csv"
    idle = [each for each in reasons if not any(fnmatchcase(key, each) for key in keys - asked)]
    assert not idle, "a reason for what is asked, or for no key"


def test_sheets__ask_about_a_load_limiter_only_where_the_file_has_one(blank: Completed) -> None:
    def of_it(made: Completed) -> set[str]:
        asked = _asked(made, "survey") | _asked(made, "inspection")
        return {path for path in asked if path.startswith("load_limiter")}

    assert not of_it(blank) and not of_it(done("quince"))
    stated = ("\ncircuits:", "\nload_limiter: {limit_a: 50}\ncircuits:")
    assert of_it(_with("quince", stated)) == {
        "load_limiter.on_lost_signal_a",
        "load_limiter.documented",
    }


def test_sheets__ask_of_a_changeover_and_of_metal_in_another_building_where_they_are() -> None:
    barn, shed = (done_from(_text(job)) for job in ("lapwing", "own_earth"))
    assert barn is not None and shed is not None
    lines = to_find(barn.installation, "survey")
    asked = {line.path: line.what for line in lines if line.path.startswith("other_sources")}
    assert asked["other_sources.store.changeover_at"].endswith("where the changeover stands")
    assert "other_sources.store.changeover_neutral" in asked
    assert "other_sources.roof.neutral_earth_switch" not in asked
    assert "other_sources.store.surge_dc" not in asked
    assert "board.joined_to_house" in {line.path for line in to_find(shed.installation, "survey")}
    same = _with("quince", ("place: {", "place: {building: same, "))
    assert "board.joined_to_house" not in _asked(same, "survey")


def test_walk__the_supply_head_is_the_networks_and_what_is_behind_a_cover_a_qualified_persons() -> (
    None
):
    """Whatever is read in the cut-out or on live tails, nobody else is asked to find out; common
    practice and the distributors' rule.
    """
    who = {row.key: row.who for row in walk()}
    assert all(
        who[f"supply.service_device.{key}"] == "network"
        for key in ("device", "standard", "rating_a", "breaking_capacity_ka")
    )
    inside = ("leads", "terminals.conductors", "busbar", "fed_from", "also_supplies", "cpc_mm2")
    for key, by in who.items():
        if key.startswith(("board.", "circuits.")) and any(each in key for each in inside):
            assert by == "open", key
    live = {key for key, by in who.items() if by == "live"}
    assert {"supply.ze_ohm", "supply.prospective_fault_current_ka.line_earth"} < live
    assert who["electrodes.*.resistance_ohm"] == "dead"
    assert all(row.how for row in walk() if row.who in ("dead", "live"))


_BATTERY = "other_sources = [{name: cell, kind: battery}]"
# Rules that no pass of a shipped job shows to hang on the key: what must hold in the job first, and
# the value that moves the rule.
MOVED: dict[tuple[str, str], tuple[str, tuple[str, ...], str]] = {
    ("board.place.meter_box_agreed", "meter-box"): (
        "coot",
        (),
        "board.place.meter_box_agreed = false",
    ),
    ("board.place.cupboard.only_way_out", "cupboard-fire"): (
        "wren",
        ("board.place.cupboard.lined = false",),
        "board.place.cupboard.only_way_out = false",
    ),
    ("premises.service_work", "nec-emergency-disconnect"): (
        "alder",
        (),
        "premises.service_work = replaced",
    ),
    ("charging_points.*.bidirectional", "nec-feeds-back"): (
        "alder",
        (),
        "charging_points.post-1.bidirectional = true",
    ),
    ("supply.neutral_csa_mm2", "earthing-conductor-size"): (
        "quince",
        (),
        "supply.neutral_csa_mm2 = 25",
    ),
    ("supply.earthing_conductor.size_awg", "nec-electrode-conductor"): (
        "alder",
        (),
        'supply.earthing_conductor.size_awg = "6"',
    ),
    ("load_limiter.limit_a", "nec-load-management"): ("alder", (), "load_limiter.limit_a = 70"),
    ("other_sources.*.kind", "other-sources"): ("marram", (), _BATTERY),
    ("other_sources.*.kind", "nec-other-source"): ("alder", (), _BATTERY),
    ("other_sources.*.changeover_at", "source-leaves-network"): (
        "lapwing",
        (),
        "other_sources.store.changeover_at = beside the meter",
    ),
    ("other_sources.*.isolator_dc", "source-isolation"): (
        "lapwing",
        (),
        "other_sources.roof.isolator_dc = true",
    ),
    ("other_sources.*.works_without_network", "source-earthing-alone"): (
        "marram",
        (_BATTERY,),
        "other_sources.cell.works_without_network = false",
    ),
    ("other_sources.*.isolator", "source-isolation"): (
        "marram",
        (_BATTERY,),
        "other_sources.cell.isolator = true",
    ),
    ("other_sources.*.labelled", "source-label"): (
        "marram",
        (_BATTERY,),
        "other_sources.cell.labelled = true",
    ),
    ("existing_boards.*.rcds.*.residual_type", "type-ac-ahead"): (
        "quince",
        (),
        "existing_boards.hall.rcds.1.residual_type = A",
    ),
    ("existing_boards.*.rcds.*.rated_residual_current_ma", "residual-selective"): (
        "quince",
        ("existing_boards.hall.rcds.1.delay = S",),
        "existing_boards.hall.rcds.1.rated_residual_current_ma = 100",
    ),
    ("existing_boards.*.rcds.*.delay", "residual-selective"): (
        "quince",
        (),
        "existing_boards.hall.rcds.1.delay = S",
    ),
    ("existing_boards.*.rcds.*.covers", "residual-selective"): (
        "quince",
        (),
        "existing_boards.hall.rcds.1.covers = [left-hand-side]",
    ),
    ("board.ways.*.bidirectional", "device-direction"): (
        "quince",
        ("charging_points.post-1.bidirectional = true",),
        "board.ways.F1.bidirectional = false",
    ),
    ("board.ways.*.terminals.torque_lbf_in", "nec-terminal-torque"): (
        "alder",
        (),
        "board.ways.F2.terminals.torque_lbf_in = unknown",
    ),
    ("circuits.*.route.*.depth_in_wall_mm", "cable-in-wall"): (
        "quince",
        (),
        "circuits.drive.route.2.depth_in_wall_mm = 60",
    ),
    ("circuits.*.route.*.depth_m", "nec-cover-depth"): (
        "bramble",
        (
            "circuits.carport.route.1.method = buried",
            "board.ways.F2.rating_a = 50",
            'circuits.carport.cable.size_awg = "6"',
            'circuits.carport.cable.egc_awg = "10"',
        ),
        "circuits.carport.route.1.depth_m = 0.1",
    ),
    ("charging_points.*.charges_outdoors", "open-pen-outdoors"): (
        "marram",
        ("charging_points.post-1.location = indoors",),
        "charging_points.post-1.charges_outdoors = false",
    ),
    ("charging_points.*.built_in_rcd", "built-in-residual"): (
        "marram",
        ("board.ways.F2.device = circuit-breaker",),
        "charging_points.post-1.built_in_rcd = type-a",
    ),
    ("charging_points.*.distance_below_ground_m", "rods-below-ground"): (
        "quince",
        (),
        "charging_points.post-1.distance_below_ground_m = 0.5",
    ),
}


# No shipped installation has another source with all it may state, nor a board in another building.
BESIDES = {
    path.stem: path
    for folder in ("sources", "detached")
    for path in sorted((Path(__file__).parents[1] / "checks" / folder).glob("*.yaml"))
}


def _text(job: str) -> str:
    return BESIDES[job].read_text("utf-8") if job in BESIDES else text_of(job)


def _verdicts(job: str, changes: tuple[str, ...], rule: str) -> list[tuple[str, str, str]]:
    text = _text(job)
    for change in changes:
        path, value = change.split(" = ")
        text, problems = with_value(text, path.split("."), value, "job.yaml", begin=True)
        assert not problems, problems
    installation, problems = installation_from_yaml(text, "job.yaml", job)
    assert installation is not None and not problems, problems
    made, problems = completed(installation)
    assert made is not None and not problems, problems
    found = findings_of(Case(made.installation), {rule})
    return [(each.place, each.level, each.message) for each in found]


def _key(path: str) -> str:
    """A path of a job as a key of the walk: names and places are `*`."""
    lists = "existing_boards|rcds|ways|circuits|charging_points|electrodes|route|other_sources"
    lists += "|surge_devices"
    return re.sub(rf"({lists})\.[^.]+", r"\1.*", path)


def _hang_on(monkeypatch: pytest.MonkeyPatch) -> dict[str, set[str]]:
    """Of every key the rules of which a pass is none once all of the shipped jobs is assumed."""
    monkeypatch.setattr("firstway.checks.rule.assumed_words", lambda paths: f"@{' '.join(paths)}@")
    found: dict[str, set[str]] = {}
    for job in (*JOBS, *PLACES, *BESIDES):
        made = done(job) if job in (*JOBS, *PLACES) else done_from(_text(job))
        assert made is not None
        whole = made.installation
        known_by = dict.fromkeys((each for each in whole.lines_of if "." not in each), "assumed")
        for each in findings_of(Case(with_known_by(whole, known_by))):
            for path in re.findall("@(.*)@", each.message):
                for one in path.split():
                    found.setdefault(_key(one), set()).add(each.id)
    return found


def test_walk__what_a_key_is_said_to_decide_hangs_on_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """A pass of the rule rests on the key, or another value of the key moves the rule."""
    hang = _hang_on(monkeypatch)
    left = {pair for pair in PAIRS if pair[1] not in hang.get(pair[0], ())}
    assert left <= set(MOVED)
    assert len(PAIRS) - len(left) > 120


@pytest.mark.parametrize(("key", "rule"), MOVED)
def test_walk__another_value_moves_the_rule(key: str, rule: str) -> None:
    job, before, change = MOVED[key, rule]
    assert key.startswith(_key(change.partition(" = ")[0]))
    assert _verdicts(job, (*before, change), rule) != _verdicts(job, before, rule)


def test_survey__of_a_blank_job_is_blank(blank: Completed) -> None:
    """Its examples are assumed: none stands as a fact, and nothing passes on them."""
    lines = to_find(blank.installation, "survey")
    assert len(lines) > 50 and not [line.path for line in lines if line.said]
    assert not [each for each in blank.findings if each.level == "pass"]
    text = said(site_page(blank, "survey")[1])
    assert "Known already" not in text and "assumed in the file until now" in text
    assert "Not named yet" in text


def test_survey__asks_in_the_order_one_walks(blank: Completed) -> None:
    heads = [
        each.get_text()
        for each in BeautifulSoup(site_page(blank, "survey")[0], "html.parser").select("h3")
    ]
    order = ["supply head", "Earthing", "bonding", "existing board", "route", "place of", "user"]
    places = [next(i for i, head in enumerate(heads) if word in head) for word in order]
    assert places == sorted(places)


def test_survey__what_is_known_is_not_asked_again(foreign: Completed) -> None:
    lines = {line.path: line for line in to_find(foreign.installation, "survey")}
    assert lines["supply.ze_ohm"].said == "0.24 Ω" and lines["supply.ze_ohm"].known == "measured"
    page = BeautifulSoup(site_page(foreign, "survey")[1], "html.parser")
    asked = [each.get_text() for each in page.select(".keys code")]
    known = [" ".join(each.get_text().split()) for each in page.select(".known li")]
    assert "supply.ze_ohm" not in asked and "existing_boards.house.main_bonding_mm2" in asked
    assert any("0.24 Ω, measured" in each for each in known)
    assert len(asked) == len(set(asked)) and len(asked) + len(known) == len(lines)


def test_survey__ends_in_what_is_measured_and_at_the_very_last_in_live_tests(
    blank: Completed,
) -> None:
    """Live tests come after all the rest, and Ze is measured with the earthing conductor off, on an
    installation isolated from every source: BS 7671 part 6, Guidance Note 3, from memory.
    """
    page = BeautifulSoup(site_page(blank, "survey")[0], "html.parser")
    heads = [each.get_text() for each in page.select("h3")]
    assert heads[0] == "Other sources"
    assert [head for head in heads if head.startswith(("By measuring, dead", "Last of all"))] == (
        heads[-3:-1]  # the keys stand after them
    )
    text = said(str(page))
    last = text.index("Last of all, live tests")
    for line in to_find(blank.installation, "survey"):
        assert (line.who == "live") == (text.rindex(line.what) > last), line.path
    ze = text[text.index("isolate the installation from every source", last) :]
    order = ("take the earthing conductor off", "test at the incoming", "join", "before anything")
    assert sorted(order, key=ze.index) == list(order)
    assert "stay live with the main switch off" in ze and "every cover on" not in text
    assert "an electrode is not taken off a live installation" in text


def test_site_sheets__say_who_may_do_what(foreign: Completed) -> None:
    for name in SITE_SHEETS:
        text = said(site_page(foreign, name)[0])
        for words in (
            "Isolated from every source, locked off and proved dead",
            "a vehicle that feeds back",
            "measure lengths with a tape",
            "no electrical instrument",
            "nothing is touched, pulled, moved or switched",
            "Anybody may read what is printed on the outside",
            "nobody else breaks a seal",
        ):
            assert words in text, (name, words)
        assert "at its origin" not in text


def test_site_sheets__bear_no_stamp_of_a_draft_for_the_place_is_live_already(
    foreign: Completed,
) -> None:
    papers = papers_of(foreign)
    for name in SITE_SHEETS:
        page = BeautifulSoup(papers[f"{name}.html"], "html.parser")
        assert "to be energised" not in page.get_text() and not page.select(".draft-across")
    assert "in writing the same day" in said(papers["inspection.html"])
    assert "taken out of use at once by whoever may" in said(papers["inspection.html"])
    assert "not to be energised" in said(papers["tests.html"])


def _asked(made: Completed, sheet: SiteSheet) -> set[str]:
    return {line.path for line in to_find(made.installation, sheet) if not line.said}


def _with(job: str, *changes: tuple[str, str]) -> Completed:
    text = text_of(job)
    for before, after in changes:
        assert before in text
        text = text.replace(before, after, 1)
    made = done_from(text)
    assert made is not None
    return made


def test_sheets__do_not_ask_what_cannot_apply(blank: Completed) -> None:
    """Each beside a job where it does apply, and is asked."""
    quince = _asked(done("quince"), "survey") | _asked(done("quince"), "inspection")
    never = {
        "existing_load.L2.maximum_demand_a",
        "existing_load.L3.maximum_demand_a",
        "supply.prospective_fault_current_ka.three_phase",
        "circuits.drive.cable.armour_earthed",
        "existing_boards.hall.enclosure.earthed_by",
        "charging_points.post-1.open_pen.standard",
        "charging_points.post-1.charges_outdoors",
    }
    assert not never & quince
    other = _with(
        "quince",
        ("phases: 1\n", "phases: 3\n"),
        ("construction: flat-twin-and-earth", "construction: armoured"),
        ("protective: core, cpc_mm2: 2.5", "protective: armour"),
        ("enclosure: {material: plastic}", "enclosure: {material: steel}"),
        ("open_pen: {measure: none}", "open_pen: {measure: device}"),
        ("location: outdoors", "location: indoors"),
        ("line_to_earth_v: 230\n", "line_to_earth_v: 230\n  line_to_line_v: 400\n"),
    )
    assert never <= _asked(other, "survey") | _asked(other, "inspection")
    everything = _asked(blank, "survey") | _asked(blank, "inspection")
    assert "circuits.slipway.cable.armour_earthed" in everything  # the example is no fact


@pytest.mark.parametrize("job", ["quince", "alder", "sallow", "blank", "foreign"])
@pytest.mark.parametrize("name", SITE_SHEETS)
def test_sheets__ask_in_words_and_name_the_keys_once_at_the_end(
    name: SiteSheet, job: str, request: pytest.FixtureRequest
) -> None:
    made = request.getfixturevalue(job) if job in ("blank", "foreign") else done(job)
    page = BeautifulSoup(site_page(made, name)[0], "html.parser")
    lines = page.select(".looked:not(.besides) li")
    keys = [each.get_text() for each in page.select(".keys li")]
    assert len(lines) == len(keys) and [int(key.split()[0]) for key in keys] == list(
        range(1, len(keys) + 1)
    )
    assert not page.select(".looked code")
    for line in (*lines, *page.select(".known li")):
        for small in line.select("small"):
            if small.get_text().startswith("decides"):
                small.decompose()
        text = " ".join(line.get_text(" ").split())
        assert not re.search(r"[a-z]_[a-z]|\b(?:supply|board|circuits|feed)\.[a-z]|`", text), text
        assert "one of: none" not in text and "holds-down" not in text, text
        if made.installation.rules != "nec":
            assert not re.search(r"\bnec\b|grounded|raceway|nm-cable|receptacle", text), text


def test_sheets__of_a_blank_job_name_no_example(blank: Completed) -> None:
    for name in SITE_SHEETS:
        page = BeautifulSoup(site_page(blank, name)[1], "html.parser")
        for each in page.select(".keys"):
            each.decompose()
        text = said(str(page))
        assert "the circuit: " in text and "the point: " in text
        assert not re.search(r"slipway|post-1|\bF2\b", text)


def test_survey__has_the_words_of_the_trade(blank: Completed) -> None:
    pages = [site_page(made, name)[0] for made in (blank, done("quince")) for name in SITE_SHEETS]
    text = " ".join(map(said, pages))
    for words in ("cut-out fuse", "breaking capacity (Icn)", "RCD type", "time-delayed (S)", "Uc"):
        assert words in text, words


def test_site_sheets__note_the_building_its_sources_and_the_old_board(blank: Completed) -> None:
    """What a surveyor notes before a point is fed; common practice, and HSE's words on asbestos in
    old fuse carriers, from memory.
    """
    for name in SITE_SHEETS:
        text = said(site_page(blank, name)[0])
        for words in (
            "in the building the supply enters, or in another",
            "from where each comes",
            "which of them are bonded",
            "its power",
            "where it is joined",
            "a changeover",
            "rewirable fuses",
            "asbestos",
        ):
            assert words in text, (name, words)
    asked = _asked(_with("quince", ("place: {", "place: {building: same, ")), "survey")
    assert not {"board.place.building", "board.extraneous_parts"} & asked


def test_inspection__goes_from_looking_to_what_is_opened_and_last_to_what_is_live(
    foreign: Completed,
) -> None:
    text = said(site_page(foreign, "inspection")[1])
    heads = [title for title, _, _ in WHO.values()]
    places = [text.index(head) for head in heads]
    assert places == sorted(places)
    assert "authorised person only" in text and "proved dead before the cover" in text


def test_inspection__finds_what_is_wrong_with_a_board_somebody_else_fitted(
    foreign: Completed,
) -> None:
    page = BeautifulSoup(site_page(foreign, "inspection")[0], "html.parser")
    told = " ".join(page.get_text(" ").split())
    for words in (
        "Fails board: A way stands open",
        "Fails board: A device in the board is not declared by the maker",
        "Fails F1: Its device feeds something else too: freezer socket",
        "Advice F1: The RCD over right in house does not wait",
        "Advice board: Missing at the board: the chart",
        "Advice supply: No isolator",
    ):
        assert words in told, words
    asked = [each.get_text() for each in page.select(".keys code")]
    assert {"board.busbar.style", "circuits.drive.cable.armour_earthed"} & set(asked)
    assert "board.ways.F1.fed_from" not in asked  # the file says it
    assert "board.ways.F1.type" not in asked  # no surge protective device


def test_sheets__of_rule_set_nec_ask_in_its_words_and_its_keys() -> None:
    text = said(site_page(done("alder"), "inspection")[1])
    assert "equipment grounding conductor" in text and "BS 7671" not in text
    keys = {line.path for line in to_find(done("alder").installation, "inspection")}
    assert not any(key.endswith(("csa_mm2", "open_pen.measure")) for key in keys)


@pytest.mark.parametrize("name", SITE_SHEETS)
def test_sheets__are_papers_of_the_job_and_never_speak_as_a_certificate(
    name: str, foreign: Completed
) -> None:
    papers = papers_of(foreign)
    page = papers[f"{name}.html"]
    assert page == site_page(foreign, name)[1]  # type: ignore[arg-type]  # a key of SITE_SHEETS
    text = said(page)
    assert "No certificate" in text and "Caution." in text and "signature" not in text.lower()
    assert SITE_SHEETS[name][0] not in said(papers["all-sheets.html"])  # type: ignore[index]
