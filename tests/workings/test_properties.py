"""Properties that hold for every installation, looked for with drawn ones (hypothesis).

The laws are those of any handbook and of physics: a longer way, a larger load or a warmer place is
never better, a larger conductor never worse; a chosen size keeps its own limits and the size below
it does not; what is printed is the figure of the working. A small sample runs every time, a large
one with the long tests.
"""

from __future__ import annotations

import copy
import math
from collections.abc import Callable
from functools import cache
from pathlib import Path
from random import Random

import pytest
from bs4 import BeautifulSoup, Tag
from changing import DIAGRAMS
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from random_installations import FLAT_PAIRS, Data, installation_of, one_phase, three_phase
from sampling import JOBS
from test_published import allowed_by_rounding, arithmetic, evaluated, number_in, rounded

from firstway.checks.rule import Case
from firstway.checks.running import findings_of
from firstway.choosing.completing import FAULT_FINDINGS, SIZE_FINDINGS, Completed, completed
from firstway.model.reading import installation_from_yaml
from firstway.rendering.figures import NOT_KNOWN, figure_html, shown
from firstway.rendering.formulas import working_mathml, working_text
from firstway.tables.looking_up import standard_sizes_mm2
from firstway.workings.shared.step import Workings
from firstway.workings.working_through import workings_of

KINDS: tuple[Callable[[Random], Data], ...] = (one_phase, three_phase)
SMALL, LARGE = 10, 250
samples = pytest.mark.parametrize(
    "examples",
    [pytest.param(SMALL, id="sample"), pytest.param(LARGE, id="many", marks=pytest.mark.long)],
)


def tried(examples: int, check: Callable[..., None], **given_by: st.SearchStrategy[object]) -> None:
    """Run a property over drawn cases; the same cases every time."""
    settings(
        max_examples=examples,
        deadline=None,
        derandomize=True,
        database=None,
        suppress_health_check=list(HealthCheck),
    )(given(**given_by)(check))()


def drawn(seed: int, three: bool) -> Data:
    return KINDS[three](Random(seed))


def worked(data: Data) -> Workings:
    return workings_of(installation_of(data))


def never_less(before: Workings, after: Workings, step_id: str, of: str) -> None:
    """The figure after the change is not below the one before it (the last binary digits do not
    count).
    """
    one, other = before.value(step_id, of), after.value(step_id, of)
    if one is None or other is None:
        assert one is other, f"{step_id} of {of} is known only once"
        return
    assert other >= one or math.isclose(one, other, rel_tol=1e-9), (
        f"{step_id} of {of}: {one} became {other}"
    )


def never_more(before: Workings, after: Workings, step_id: str, of: str) -> None:
    never_less(after, before, step_id, of)


SEEDS = {"seed": st.integers(0, 10**6), "three": st.booleans()}


@samples
def test_a_longer_way_is_never_better(examples: int) -> None:
    def check(seed: int, three: bool, more: float) -> None:
        data = drawn(seed, three)
        longer = copy.deepcopy(data)
        longer["circuits"][0]["route"][0]["length_m"] += more
        before, after = worked(data), worked(longer)
        for step_id in (
            "voltage-drop",
            "voltage-drop-percent",
            "voltage-drop-when-loaded",
            "voltage-drop-by-resistance",
            "loop-impedance",
            "loop-impedance-reading",
            "r1-plus-r2-reading",
            "line-neutral-loop-at-point",
        ):
            never_less(before, after, step_id, "c1")
        for step_id in ("earth-fault-current", "fault-current-at-charging-point"):
            never_more(before, after, step_id, "c1")
        for step_id in ("corrected-capacity", "required-capacity", "conductor-temperature"):
            never_less(before, after, step_id, "c1")
            never_more(before, after, step_id, "c1")  # length alone changes no capacity

    tried(examples, check, **SEEDS, more=st.floats(0.1, 200))


@samples
def test_a_longer_feed_is_never_better(examples: int) -> None:
    def check(seed: int, three: bool, more: float) -> None:
        data = drawn(seed, three)
        longer = copy.deepcopy(data)
        longer["feed"]["route"][0]["length_m"] += more
        before, after = worked(data), worked(longer)
        for step_id in ("voltage-drop", "voltage-drop-by-resistance", "loop-impedance"):
            never_less(before, after, step_id, "c1")
        for step_id in (
            "fault-current-at-board",
            "line-neutral-fault-at-board",
            "line-earth-fault-at-board",
        ):
            never_more(before, after, step_id, "board")
        never_more(before, after, "minimum-protective-conductor", "c1")

    tried(examples, check, **SEEDS, more=st.floats(0.1, 100))


@samples
def test_a_larger_load_is_never_better(examples: int) -> None:
    def check(seed: int, three: bool, more: float) -> None:
        data = drawn(seed, three)
        larger = copy.deepcopy(data)
        larger["charging_points"][0]["current_a"] += more
        before, after = worked(data), worked(larger)
        for step_id, of in (
            ("design-current", "c1"),
            ("voltage-drop", "c1"),
            ("voltage-drop-by-resistance", "c1"),
            ("voltage-drop", "feed"),
            ("conductor-temperature", "c1"),
            ("voltage-drop-when-loaded-factor", "c1"),
            ("maximum-demand", "supply"),
            ("enclosure-loss", "board"),
            ("enclosure-rise", "board"),
            ("open-pen-voltage", "supply"),
        ):
            if before.find(step_id, of) and not (
                three and of == "supply" and step_id == "open-pen-voltage"
            ):
                never_less(
                    before, after, step_id, of
                )  # three lines: what is added to all of them shifts no neutral
        never_more(before, after, "spare-capacity", "supply")

    tried(examples, check, **SEEDS, more=st.floats(0.5, 8))


@samples
def test_a_warmer_place_is_never_better(examples: int) -> None:
    def check(seed: int, three: bool, warm: int, more: int) -> None:
        data = drawn(seed, three)
        for stretch in data["circuits"][0]["route"]:
            stretch["ambient_c"] = warm
        warmer = copy.deepcopy(data)
        for stretch in warmer["circuits"][0]["route"]:
            stretch["ambient_c"] = warm + more
        before, after = worked(data), worked(warmer)
        for step_id in ("required-capacity", "conductor-temperature", "voltage-drop-when-loaded"):
            never_less(before, after, step_id, "c1")
        never_more(before, after, "corrected-capacity", "c1")

    tried(examples, check, **SEEDS, warm=st.integers(10, 40), more=st.integers(0, 15))


@samples
def test_more_circuits_together_are_never_better(examples: int) -> None:
    def check(seed: int, three: bool, together: int, more: int) -> None:
        data = drawn(seed, three)
        data["circuits"][0]["route"][0].update(grouped_circuits=together, grouped_as="bunched")
        closer = copy.deepcopy(data)
        closer["circuits"][0]["route"][0]["grouped_circuits"] = together + more
        before, after = worked(data), worked(closer)
        never_less(before, after, "required-capacity", "c1")
        never_more(before, after, "corrected-capacity", "c1")

    tried(examples, check, **SEEDS, together=st.integers(1, 8), more=st.integers(0, 8))


@samples
def test_a_larger_conductor_is_never_worse(examples: int) -> None:
    def check(seed: int, three: bool, place: int) -> None:
        data = drawn(seed, three)
        cable = data["circuits"][0]["cable"]
        sizes = [
            read.value for read in standard_sizes_mm2(cable["construction"]) if read.value >= 1.5
        ]
        if cable["protective"] == "armour":
            sizes = [size for size in sizes if size <= 6]  # the table of armour ends there
        at = place % (len(sizes) - 1)
        larger = copy.deepcopy(data)
        for each, size in ((cable, sizes[at]), (larger["circuits"][0]["cable"], sizes[at + 1])):
            each["csa_mm2"] = size
            if each["protective"] == "core":
                each["cpc_mm2"] = (
                    {1.5: 1, **FLAT_PAIRS}[size]
                    if each["construction"] == "flat-twin-and-earth"
                    else size
                )
        before, after = worked(data), worked(larger)
        for step_id in (
            "voltage-drop",
            "voltage-drop-by-resistance",
            "loop-impedance",
            "r1-plus-r2-reading",
            "conductor-temperature",
        ):
            never_more(before, after, step_id, "c1")
        for step_id in (
            "corrected-capacity",
            "earth-fault-current",
            "fault-current-at-charging-point",
        ):
            never_less(before, after, step_id, "c1")

    tried(examples, check, **SEEDS, place=st.integers(0, 50))


# ---- choosing


def left_to_choose(seed: int, three: bool) -> Data:
    """A drawn installation with rating, line conductor and protective conductor of its first
    circuit left to choose.
    """
    data = drawn(seed, three)
    cable = data["circuits"][0]["cable"]
    cable["csa_mm2"] = cable["cpc_mm2"] = "choose"
    data["board"]["ways"][1]["rating_a"] = "choose"
    return data


def size_findings(done: Completed, of: str) -> list[str]:
    return [
        str(finding)
        for finding in done.findings
        if finding.of == of and finding.id in SIZE_FINDINGS and finding.level in ("fail", "danger")
    ]


def limits_broken(workings: Workings, of: str) -> list[str]:
    """Read from the steps alone: what any handbook asks of a size.

    What is not known breaks nothing.
    """
    asked = (
        ("design-current", "device-rating"),
        ("device-rating", "corrected-capacity"),
        ("disconnection-time", "disconnection-time-limit"),
        ("minimum-protective-conductor", "protective-conductor-size"),
    )
    broken = []
    for less, more in asked:
        one, other = workings.value(less, of), workings.value(more, of)
        if one is not None and other is not None and one > other * (1 + 1e-9):
            broken.append(f"{less} {one} above {more} {other}")
    share = workings.value("voltage-drop-percent", of)
    if share is not None and share > 5 * (
        1 + 1e-9
    ):  # BS 7671 Appendix 12, IEC 60364-5-52 Annex G: 5 % for other uses
        broken.append(f"voltage drop {share} %")
    return broken


@samples
def test_a_chosen_size_keeps_its_limits_and_the_next_smaller_does_not(examples: int) -> None:
    chosen = []

    def check(seed: int, three: bool) -> None:
        data = left_to_choose(seed, three)
        armour = data["circuits"][0]["cable"]["protective"] == "armour"
        done, problems = completed(installation_of(data))
        if done is None:
            assert problems, "nothing was chosen and nothing said"
            return
        assert size_findings(done, "c1") == []
        broken = limits_broken(done.case.workings, "c1")
        # Armour is no conductor of its own size: its section is not the one of the cores.
        assert [
            each for each in broken if not (armour and each.startswith("minimum-protective"))
        ] == []
        chosen.append(seed)
        _smaller_is_rejected(data, done)

    tried(examples, check, **SEEDS)
    assert len(chosen) > examples / 4, "a size is found often enough for this to mean something"


def _smaller_is_rejected(data: Data, done: Completed) -> None:
    cable = done.installation.circuits[0].cable
    smaller = [
        read.value
        for read in standard_sizes_mm2(str(cable.construction))
        if read.value < cable.csa_mm2
    ]
    if not smaller or cable.protective == "separate":
        return  # with a separate protective conductor the pair is chosen, not one size
    given = copy.deepcopy(data)
    own = given["circuits"][0]["cable"]
    own["csa_mm2"] = smaller[-1]
    own["cpc_mm2"] = smaller[-1]
    if cable.construction == "flat-twin-and-earth":
        own["cpc_mm2"] = {1: 1, 1.5: 1, **FLAT_PAIRS}[smaller[-1]]
    given["board"]["ways"][1]["rating_a"] = float(done.installation.board.ways[1].rating_a)
    case = Case(installation_of(given))
    assert any(
        finding.of == "c1"
        and finding.id in (*SIZE_FINDINGS, *FAULT_FINDINGS)
        and finding.level in ("fail", "danger")
        for finding in findings_of(case)
    ), f"{smaller[-1]} mm2 would have served"


# ---- what is printed


@cache
def finished(name: str) -> Completed:
    path = DIAGRAMS / f"{name}.yaml"
    found, problems = installation_from_yaml(path.read_text(encoding="utf-8"), path.name, name)
    assert found is not None, problems
    done, problems = completed(found)
    assert done is not None, problems
    return done


@pytest.mark.parametrize("name", JOBS)
def test_every_printed_figure_is_the_figure_of_its_step(name: str) -> None:
    """Text, attribute and MathML of every step within half a unit of the last place shown; a pocket
    calculator agrees.
    """
    done = finished(name)
    known = [step for step in done.case.workings if step.value is not None]
    assert len(known) > 20
    for step in known:
        assert step.value is not None
        half = 0.5 * 10**-step.places
        printed, places = number_in(shown(step), step.unit)
        assert places == step.places and printed == rounded(step.value, places), step.identity
        assert abs(float(printed) - step.value) <= half * (1 + 1e-9), step.identity

        data = BeautifulSoup(figure_html(step, name), "html.parser").data
        assert isinstance(data, Tag)
        assert math.isclose(
            float(data["value"]), step.value, rel_tol=5e-12
        ) and data.get_text() == shown(step), step.identity
        assert (
            data["data-step"],
            data["data-of"],
            data["data-unit"],
            data["data-installation"],
        ) == (step.id, step.of, step.unit, name)

        line = working_text(step)
        assert line.endswith(shown(step)), step.identity
        if step.figures is None:
            continue
        allowed = half + allowed_by_rounding(step.figures.formula, step.figures.values)
        assert abs(evaluated(line.split(" = ")[-2]) - float(printed)) <= allowed, (
            f"{step.identity}: {line}"
        )
        rows = BeautifulSoup(working_mathml(step), "html.parser").find_all("mtr")
        assert (
            abs(evaluated(arithmetic(rows[1].find_all("mtd")[-1])) - float(printed)) <= allowed
        ), step.identity
        number = rows[2].find("mn")
        assert math.isclose(float(number["data-value"]), step.value, rel_tol=5e-12), step.identity
        assert number.get_text() == shown(step).split(" ")[0], step.identity


@pytest.mark.parametrize("name", JOBS)
def test_a_figure_that_is_not_known_prints_no_number(name: str) -> None:
    for step in finished(name).case.workings:
        if step.value is None:
            assert shown(step) == NOT_KNOWN and not BeautifulSoup(
                figure_html(step, name), "html.parser"
            ).find("data"), step.identity
            assert step.missing and step.ask, (
                f"{step.identity}: says neither what is missing nor whom to ask"
            )


def test_every_figure_on_every_page_is_a_figure_of_the_workings(built_site: Path) -> None:
    """Each `<data class="figure">` of the built guide, against the workings made here once more."""
    seen = 0
    for page in sorted(built_site.rglob("*.html")):
        for figure in BeautifulSoup(page.read_text(encoding="utf-8"), "html.parser").select(
            "data.figure[data-step]"
        ):
            step = finished(figure["data-installation"]).case.step(
                figure["data-step"], figure["data-of"]
            )
            where = f"{page.relative_to(built_site)}: {figure}"
            assert step is not None and step.value is not None, where
            assert math.isclose(float(figure["value"]), step.value, rel_tol=5e-12), where
            printed, places = number_in(figure.get_text(), step.unit)
            assert printed == rounded(step.value, places), where
            seen += 1
    assert seen > 100, "the guide shows figures"
