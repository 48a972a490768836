"""More trials of the rules on demand and board, and of verdicts on steps that no file leads to.

Each trial is a sound installation of `diagrams` with a few words changed. The verdict expected is
the one the source named in the rule's own RULE asks for; where a figure decides, its source stands
beside the trial. Every rule has its cases in files (test_checks.py): new ones belong there.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import pytest
import start
from changing import done, findings

from firstway.checks.rule import CONFIRM_IN_A4, LEVELS, Case, Finding
from firstway.checks.running import findings_of, rules
from firstway.model.installation import Installation
from firstway.model.reading import installation_from_yaml
from firstway.workings.shared.step import Step, Workings

DIAGRAMS = start.ROOT / "diagrams"
# Sizes given, so that a trial need not choose them.
SIZES = {
    "marram": (("csa_mm2: choose", "csa_mm2: 6"), ("cpc_mm2: choose", "cpc_mm2: 6")),
    "sedge": (
        ("rating_a: choose", "rating_a: 40"),
        ("csa_mm2: choose", "csa_mm2: 10"),
        ("cpc_mm2: choose", "cpc_mm2: 4"),
    ),
    "tern": (("csa_mm2: choose", "csa_mm2: 10"), ("cpc_mm2: choose", "cpc_mm2: 10")),
    "sallow": (("csa_mm2: choose", "csa_mm2: 10"), ("cpc_mm2: choose", "cpc_mm2: 10")),
    "quince": (),
}
IEC = (("rules: bs7671 ", "rules: iec60364 "), ("edition: 2018+A4:2026", "edition: 2018"))
IEC_SALLOW = (("rules: bs7671\n", "rules: iec60364\n"), ("edition: 2018+A4:2026", "edition: 2018"))


@dataclass(frozen=True)
class Trial:
    rule: str
    level: str
    of: str
    changes: tuple[tuple[str, str], ...] = ()
    steps: tuple[tuple[str, str, float | None], ...] = ()
    place: str = ""

    def __str__(self) -> str:
        words = ", ".join(
            new.strip().splitlines()[0][:30] if new.strip() else f"no {old[:20]}"
            for old, new in self.changes
        )
        return f"{self.rule}: {self.level} {self.of} {words}".strip()


def trial(
    rule: str,
    level: str,
    of: str,
    *changes: tuple[str, str],
    steps: tuple[tuple[str, str, float | None], ...] = (),
    place: str = "",
) -> Trial:
    return Trial(rule, level, of, changes, steps, place)


@cache
def text_of(name: str) -> str:
    return changed((DIAGRAMS / f"{name}.yaml").read_text(encoding="utf-8"), SIZES[name])


def changed(text: str, changes: tuple[tuple[str, str], ...]) -> str:
    for old, new in changes:
        assert old in text, f"nothing to change: {old!r}"
        text = text.replace(old, new)
    return text


def installation_of(text: str, name: str) -> Installation:
    installation, problems = installation_from_yaml(text, f"{name}.yaml", name)
    assert installation is not None and not problems, [str(problem) for problem in problems]
    return installation


@cache
def case_with(
    of: str,
    changes: tuple[tuple[str, str], ...] = (),
    steps: tuple[tuple[str, str, float | None], ...] = (),
) -> Case:
    case = Case(installation_of(changed(text_of(of), changes), of))
    if not steps:
        return case
    given = {(step_id, about): value for step_id, about, value in steps}
    kept = [step for step in case.workings if (step.id, step.of) not in given]
    extra = [
        Step(
            step_id,
            about,
            "",
            "",
            value,
            "",
            "fact",
            (),
            "given in the trial",
            "",
            ask="" if value is not None else "ask",
        )
        for (step_id, about), value in given.items()
    ]
    return Case(case.installation, workings=Workings.of_steps([*kept, *extra]), wiring=case.wiring)


def found_by(rule: str, case: Case) -> list[Finding]:
    return [finding for finding in findings_of(case) if finding.id == rule]


U = "unknown"
DEMAND = "maximum_demand_a: 41"
WAY = "name: F2, device: rcbo"
TRIALS = [
    # Demand and limiter. BS 7671 132.16; four fifths, signal and sensor: common practice.
    trial("service-capacity", "pass", "marram"),
    trial(
        "service-capacity",
        "fail",
        "marram",
        ("documented: true", "documented: false"),
        (DEMAND, "maximum_demand_a: 60"),
        place="supply",
    ),
    trial("service-capacity", U, "marram", (DEMAND, "maximum_demand_a: unknown")),
    trial("service-capacity", U, "marram", ("rating_a: 80}  ", "rating_a: unknown}  ")),
    trial(
        "service-capacity",
        U,
        "marram",
        ("known_by: {", "known_by: {existing_load: assumed, "),
        ("limit_a: 70", "limit_a: 79"),
    ),
    trial(
        "demand-near-rating",
        "pass",
        "marram",
        ("maximum_demand_a: 41, at_once_a: 30", "maximum_demand_a: 20, at_once_a: 9"),
    ),
    trial("demand-near-rating", U, "marram", (DEMAND, "maximum_demand_a: unknown")),
    trial("limiter-documented", U, "marram", ("documented: true", "documented: unknown")),
    trial("limiter-documented", U, "marram", ("known_by: {", "known_by: {load_limiter: assumed, ")),
    trial("limiter-fails-safe", "pass", "marram", ("on_lost_signal_a: 0", "on_lost_signal_a: 16")),
    trial(
        "limiter-fails-safe",
        "advice",
        "marram",
        ("on_lost_signal_a: 0", "on_lost_signal_a: 32"),
        (DEMAND, "maximum_demand_a: 60"),
    ),
    trial("limiter-fails-safe", U, "marram", ("on_lost_signal_a: 0", "on_lost_signal_a: unknown")),
    trial(
        "limiter-fails-safe",
        U,
        "marram",
        ("on_lost_signal_a: 0", "on_lost_signal_a: 16"),
        (DEMAND, "maximum_demand_a: unknown"),
    ),
    trial("limiter-below-service", U, "marram", ("limit_a: 70", "limit_a: unknown")),
    trial("setting-locked", U, "marram", ("setting_locked: true", "setting_locked: unknown")),
    trial("own-circuit", "pass", "sallow"),
    trial(
        "own-circuit",
        "fail",
        "marram",
        ("supplies: [post-1]", "supplies: [post-1, post-2]"),
        ("documented: true", "documented: false"),
        (
            "charging_points:\n",
            (
                "charging_points:\n  - {name: post-2, current_a: 6, lines: [L1], location:"
                " outdoors, earthed_by: supply}\n"
            ),
        ),
    ),
    trial(
        "own-circuit",
        U,
        "marram",
        ("supplies: [post-1]", "supplies: [post-1, post-2]"),
        (
            "charging_points:\n",
            (
                "charging_points:\n  - {name: post-2, current_a: 6, lines: [L1], location:"
                " outdoors, earthed_by: supply}\n"
            ),
        ),
    ),
    # The board. BS 7671 536.4.202: one of the ways suffices, diversity alone does not.
    trial(
        "assembly-rating",
        "pass",
        "marram",
        ("standard: BS EN 61439-3, rating_a: 100", "standard: BS EN 61439-3, rating_a: 40"),
    ),
    trial(
        "assembly-rating",
        "fail",
        "sallow",
        ("standard: BS EN 61439-3, rating_a: 100", "standard: BS EN 61439-3, rating_a: 63"),
        place="board",
    ),
    trial(
        "assembly-rating",
        "advice",
        "sallow",
        ("standard: BS EN 61439-3, rating_a: 100", "standard: BS EN 61439-3, rating_a: 63"),
        ("limit_a: 80", "limit_a: 60"),
    ),
    trial(
        "assembly-rating",
        U,
        "marram",
        ("standard: BS EN 61439-3, rating_a: 100", "standard: BS EN 61439-3, rating_a: unknown"),
    ),
    trial("assembly-rating", U, "marram", ("known_by: {", "known_by: {board.assembly: assumed, ")),
    trial("bar-rating", "pass", "sedge"),
    trial(
        "bar-rating", "fail", "sallow", ("style: fork, rating_a: 100", "style: fork, rating_a: 63")
    ),
    trial("bar-rating", U, "sedge", ("style: pin, rating_a: 63", "style: pin, rating_a: unknown")),
    trial("main-switch-poles", "pass", "sallow"),
    trial(
        "main-switch-poles",
        "advice",
        "marram",
        ("standard: IEC 60947-3, switched_poles: 2", "standard: IEC 60947-3, switched_poles: 1"),
        ("ordinary-persons", "skilled-persons"),
    ),
    trial(
        "main-switch-poles",
        "advice",
        "sallow",
        ("standard: IEC 60947-3, switched_poles: 4", "standard: IEC 60947-3, switched_poles: 3"),
    ),
    # BS 7671 421.1.201: household premises; outdoors the designer justifies.
    trial("enclosure-material", "pass", "sedge"),
    trial(
        "enclosure-material",
        "fail",
        "sedge",
        ("enclosure: {material: steel, width", "enclosure: {material: plastic, width"),
    ),
    trial(
        "enclosure-material",
        U,
        "sedge",
        ("enclosure: {material: steel, width", "enclosure: {material: plastic, width"),
        ("location: indoors", "location: outdoors"),
    ),
    trial(
        "enclosure-material",
        U,
        "sedge",
        ("enclosure: {material: steel, width", "enclosure: {material: unknown, width"),
    ),
    trial(
        "enclosure-material",
        "advice",
        "sedge",
        ("enclosure: {material: steel, width", "enclosure: {material: aluminium, width"),
    ),
    trial(
        "enclosure-material",
        "advice",
        "marram",
        ("enclosure: {material: steel, width", "enclosure: {material: plastic, width"),
    ),
    # National foreword of BS EN 60670-24: one phase, at most 100 A, ordinary persons.
    trial(
        "assembly-standard",
        "fail",
        "marram",
        ("standard: BS EN 61439-3", "standard: BS EN 60670-24"),
    ),
    trial(
        "assembly-standard",
        "advice",
        "sallow",
        ("standard: BS EN 61439-3", "standard: BS EN 60670-24"),
    ),
    # IEC 61439-3, scope: 250 A and 125 A.
    trial(
        "assembly-scope",
        "fail",
        "marram",
        ("rating_a: 40, curve: B", "rating_a: 160, curve: B"),
        place="F2",
    ),
    trial(
        "assembly-scope",
        U,
        "marram",
        ("standard: BS EN 61439-3, rating_a: 100", "standard: BS EN 61439-3, rating_a: unknown"),
    ),
    trial(
        "spare-ways-blanked",
        U,
        "marram",
        ("spare_ways_blanked: true", "spare_ways_blanked: unknown"),
    ),
    # In x RDF not below Ib; a 40 A device at 0.8 leaves exactly 32 A.
    trial("rated-diversity", "pass", "sallow"),
    trial(
        "next-rating-up", "advice", "marram", ("rating_a: 40, curve: B", "rating_a: 32, curve: B")
    ),
    trial("next-rating-up", U, "marram", ("rating_a: 40, curve: B", "rating_a: unknown, curve: B")),
    trial(
        "selective-with-ahead",
        "advice",
        "sedge",
        ("standard: BS 88-3, rating_a: 63", "standard: BS 88-3, rating_a: 40"),
    ),
    # A step given another value: what no file of a shipped installation leads to.
    trial("surge-distance", U, "marram", steps=(("length", "slipway", None),)),
    trial(
        "disconnection-time",
        "pass",
        "marram",
        steps=(("disconnection-time", "slipway", 0.1), ("disconnection-time-limit", "slipway", 5)),
    ),
    trial(
        "disconnection-time",
        "advice",
        "marram",
        steps=(("disconnection-time", "slipway", 0.5), ("disconnection-time-limit", "slipway", 5)),
    ),
    trial(
        "disconnection-time",
        "fail",
        "marram",
        steps=(("disconnection-time", "slipway", 6), ("disconnection-time-limit", "slipway", 5)),
    ),
    trial(
        "disconnection-time",
        "advice",
        "tern",
        steps=(("disconnection-time", "shed", 0.3), ("disconnection-time-limit", "shed", 1)),
    ),
    trial(
        "disconnection-time",
        "pass",
        "tern",
        steps=(("disconnection-time", "shed", 0.2), ("disconnection-time-limit", "shed", 1)),
    ),
    trial(
        "disconnection-time",
        U,
        "marram",
        steps=(("disconnection-time", "slipway", None), ("disconnection-time-limit", "slipway", 5)),
    ),
    trial("device-when-warm", U, "marram", steps=(("device-current-when-warm", "F2", 38.0),)),
    trial(
        "device-when-warm", "advice", "marram", steps=(("device-current-when-warm", "F2", 30.0),)
    ),
    # The same rules under the international rule set.
    trial("service-capacity", "pass", "marram", *IEC),
    trial(
        "rated-diversity",
        "fail",
        "sallow",
        *IEC_SALLOW,
        ("rated_diversity_factor: 0.8", "rated_diversity_factor: 0.7"),
    ),
]


@pytest.mark.parametrize("each", TRIALS, ids=str)
def test_rule(each: Trial) -> None:
    found = found_by(each.rule, case_with(each.of, each.changes, each.steps))
    assert found, "the rule says nothing"
    worst = min((finding.level for finding in found), key=LEVELS.index)
    assert worst == each.level, [(finding.level, finding.message) for finding in found]
    if each.place:
        assert each.place in [finding.place for finding in found if finding.level == each.level]
    for finding in found:
        assert finding.level != "unknown" or finding.message.startswith(
            ("not known: ", "would pass, but ")
        )
        assert len(finding.message) > len("not known: ")


@pytest.mark.parametrize("name", ["marram", "sedge", "tern"])
def test_sound_installations__give_no_fail_and_no_danger(name: str) -> None:
    bad = [
        finding for finding in findings_of(case_with(name)) if finding.level in ("fail", "danger")
    ]
    assert not bad, bad


def test_everything_assumed__gives_no_pass_from_a_figure() -> None:
    """Where every section of the file is assumed, no rule finds its way to a pass; the order of the
    ways is no key.
    """
    sections = (
        "premises",
        "supply",
        "existing_load",
        "load_limiter",
        "feed",
        "board",
        "circuits",
        "charging_points",
        "electrodes",
        "existing_boards",
        "readings",
        "work_begins",
    )
    text = text_of("marram")
    start_of = text.index("known_by:")
    text = (
        text[:start_of]
        + "known_by: {"
        + ", ".join(f"{section}: assumed" for section in sections)
        + "}\n"
    )
    case = Case(installation_of(text, "marram"))
    assert [
        finding.id
        for finding in findings_of(case)
        if finding.level == "pass" and finding.id != "surge-first-way"
    ] == []


def test_confirm__the_message_says_where_the_wording_was_not_seen() -> None:
    for finding in findings_of(case_with("marram")):
        rule = next(module.RULE for module in rules() if module.RULE.id == finding.id)
        if rule.not_seen_in_a4 and finding.level in ("pass", "fail", "danger"):
            assert CONFIRM_IN_A4 in finding.message


def test_protective_conductor__of_which_only_the_size_is_known_is_told_by_its_size() -> None:
    result = done("quince", ("protective: core, cpc_mm2: 2.5", "cpc_mm2: 2.5"))
    (found,) = findings(result, "circuit-without-protective-conductor")
    assert (found.level, found.value) == ("pass", "2.5 mm²")
