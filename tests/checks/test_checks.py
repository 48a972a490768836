"""The rules: each with a pass, a verdict against, and a case where it does not know.

The cases are files (tests/checks/rules/RULE.yaml) that a teacher can add to: a shipped
installation, what is changed in it (`changes`: words of its text, `keys`: values by path, `wiring`:
as in an installation file), and what the rule must say of one place (`silent`: nothing), also in
these `words` or beside this `limit`. The reason beside each case names the clause or the
arithmetic.
"""

from __future__ import annotations

import inspect
import json
import re
from functools import cache
from pathlib import Path
from types import ModuleType

import pytest
import yaml
from changing import changed, done, findings
from sampling import EVERY_JOB, JOBS

from firstway.checks.rule import AS_TOLD, CONFIRM_IN_A4, LEVELS, NOT_SEEN_IN
from firstway.checks.running import RULES_FOLDER, rules
from firstway.checks.stakes import STAKES
from firstway.choosing.completing import Completed, completed
from firstway.files.yaml_reader import Text, data_from_yaml
from firstway.model.mistakes import with_key
from firstway.model.reading import installation_from_yaml

CASES = Path(__file__).parent / "rules"
RULES = {module.RULE.id: module for module in rules()}
FILES = sorted(path.stem for path in CASES.glob("*.yaml"))
EVERY_CASE = [
    (name, case)
    for name in FILES
    for case in yaml.safe_load((CASES / f"{name}.yaml").read_text(encoding="utf-8"))
]
SILENT = "silent"  # the level of a case in which the rule says nothing of the place
# What could be true is not thereby right; no file proves what was really wired; the makers, the
# operator or the authority decide what a rule cannot.
NEVER_PASSES = {
    "colour-tells-function",
    "conductor-seated",
    "detached-board-earth",
    "device-when-warm",
    "earth-bar-joined",
    "enclosure-heat",
    "ferrules",
    "figure-plausible",
    "nec-feeds-back",
    "nec-other-source",
    "other-sources",
    "plain-socket",
    "separated-supply",
    "line-and-neutral-crossed",
    "line-on-earth",
    "lines-crossed",
    "live-conductors-complete",
    "live-with-switch-open",
    "means-of-earthing",
    "nec-disconnect",
    "nec-emergency-disconnect",
    "nec-load-management",
    "nec-surge-leads",
    "nec-surge-path",
    "nec-terminal-torque",
    "network-notice",
    "neutral-and-earth-apart",
    "neutral-through-device",
    "open-pen-not-bypassed",
    "protective-path",
    "rods-below-ground",
    "selective-with-ahead",
    "size-as-stated",
    "supply-at-load-end",
    "surge-joined",
    "surge-leads-swapped",
    "surge-live-lead-size",
    "surge-path-through-residual",
    "two-earths-in-contact",
}
# What is not told is not asked about: the order of the ways, a route and the wiring always are.
ALWAYS_KNOWS = {
    "means-of-earthing",
    "colour-tells-function",
    "conductor-seated",
    "earth-bar-joined",
    "figure-plausible",
    "line-and-neutral-crossed",
    "line-on-earth",
    "nec-feeds-back",
    "plain-socket",
    "point-lines-agree",
    "separated-supply",
    "lines-crossed",
    "live-conductors-complete",
    "nec-surge-path",
    "neutral-and-earth-apart",
    "neutral-through-device",
    "open-pen-not-bypassed",
    "own-circuit",
    "protective-path",
    "reading-day",
    "size-as-stated",
    "surge-distance",
    "surge-first-way",
    "surge-joined",
    "surge-leads-swapped",
    "surge-path-through-residual",
    "two-earths-in-contact",
    # Nor of a key the file must hold.
    "supply-voltage",
    "supply-voltages-agree",
    "supply-figures-agree",
    "fuse-in-neutral",
    "line-without-device",
    "device-modules",
    "terminal-temperature",
}
# they pass, or ask
NEVER_AGAINST = {"enclosure-heat", "nec-other-source", "tails-metal", "torque-stated"}
WITH_FAULTS = {"quince"}

Case = dict[str, object]


def test_the_folder_of_cases_is_not_empty() -> None:
    assert len(FILES) >= 18 and len(EVERY_CASE) >= 70


def test_every_rule_has_its_cases() -> None:
    assert set(FILES) - set(RULES) == set(), "cases of a rule that is not there: remove the file"
    assert set(RULES) - set(FILES) == set(), (
        "a rule without cases: write tests/checks/rules/RULE.yaml"
    )


def test_every_rule_says_what_is_at_stake() -> None:
    assert sorted(set(RULES) - set(STAKES)) == [], "put its id into checks/stakes.py, in its place"
    assert sorted(set(STAKES) - set(RULES)) == [], "a stake of a rule that is not there: remove it"


@pytest.mark.parametrize("name", FILES)
def test_each_rule_is_shown_passing_failing_and_not_knowing(name: str) -> None:
    levels = {str(case["level"]) for rule, case in EVERY_CASE if rule == name}
    assert ("pass" in levels) != (name in NEVER_PASSES)
    assert bool(levels & {"fail", "danger", "advice"}) != (name in NEVER_AGAINST)
    assert "unknown" in levels or name in ALWAYS_KNOWS
    if name in NEVER_PASSES:
        assert SILENT in levels or "unknown" in levels, "shown where it finds nothing"


@pytest.mark.parametrize("name", FILES)
def test_the_level_of_a_rule_is_the_worst_it_is_shown_to_say(name: str) -> None:
    levels = {str(case["level"]) for rule, case in EVERY_CASE if rule == name} - {SILENT}
    assert min(levels, key=LEVELS.index) == RULES[name].RULE.level


@cache
def judged(written: str) -> Completed:
    """The installation of a case with its words, keys and wiring changed, worked and checked."""
    case = json.loads(written)
    text = changed(case["installation"], *((old, new) for old, new in case.get("changes", ())))
    if "wiring" in case:
        text += f"\nwiring: {json.dumps(case['wiring'])}\n"
    whole, problems = installation_from_yaml(
        text, f"{case['installation']}.yaml", case["installation"]
    )
    for path, value in case.get("keys", {}).items():
        assert whole is not None, problems
        node = (
            Text(value, 0)
            if isinstance(value, str)
            else data_from_yaml(json.dumps(value), "case")[0]
        )
        assert node is not None
        whole, problems = with_key(whole, path, node, "case")
        assert problems == []
    assert whole is not None, problems
    result, problems = completed(whole)
    assert result is not None, problems
    return result


@pytest.mark.parametrize(
    "name, case",
    EVERY_CASE,
    ids=[f"{name}-{case['level']}-{place}" for place, (name, case) in enumerate(EVERY_CASE)],
)
def test_a_case_is_judged_as_written(name: str, case: Case) -> None:
    result = judged(
        json.dumps(
            {key: case[key] for key in ("installation", "changes", "keys", "wiring") if key in case}
        )
    )
    said = [finding for finding in findings(result, name) if finding.place == case["place"]]
    assert case["why"]
    if case["level"] == SILENT:
        assert said == []
        return
    assert said, f"the rule says nothing of {case['place']}"
    so = [finding for finding in said if finding.level == case["level"]]
    assert so, [f"{finding.level}: {finding.message}" for finding in said]
    assert case.get("words") is None or any(
        str(case["words"]) in finding.message for finding in so
    ), [finding.message for finding in so]
    assert case.get("limit") is None or any(
        finding.limit == pytest.approx(case["limit"]) for finding in so
    ), [finding.limit for finding in so]


@pytest.mark.parametrize("module", RULES.values(), ids=list(RULES))
def test_every_rule_tells_why_what_passes_and_what_fails(module: ModuleType) -> None:
    rule, text = module.RULE, inspect.getdoc(module) or ""
    assert Path(inspect.getfile(module)).stem == rule.id.replace("-", "_"), (
        "file and id share one name: rename the file"
    )
    assert text.split("\n\n")[0].endswith("."), "the first paragraph is one sentence"
    assert "Why:" in text, "the trainee is told why: write `Why:` into the docstring"
    told = [
        word
        for word in (
            "a pass",
            "a fail",
            "advice",
            "danger",
            "advises",
            "not known",
            "always",
            "reminds",
        )
        if word in text.lower()
    ]
    assert told, "say in the docstring what passes, or what does not"
    assert rule.title and rule.source and rule.level in LEVELS and rule.rule_sets
    if re.search(r"BS \d|IEC \d|NFPA", rule.source):
        assert rule.edition, "a standard needs the edition it was read in"


def test_every_file_of_the_folder_is_a_rule() -> None:
    assert sorted(
        path.stem for path in RULES_FOLDER.glob("*.py") if path.stem != "__init__"
    ) == sorted(name.replace("-", "_") for name in RULES)


# ---- what every finding must hold


@pytest.mark.parametrize("name", JOBS)
def test_findings_are_whole(name: str) -> None:
    result = done(name)
    file = result.installation
    switch = file.board.main_switch
    parts = {
        "feed",
        "board",
        "supply",
        *(way.name for way in file.board.ways),
        getattr(switch, "name", "board"),
    }
    for group in (
        file.circuits,
        file.charging_points,
        file.electrodes,
        file.vehicles,
        file.existing_boards,
        file.surge_devices,
        file.sources,
    ):
        parts |= {item.name for item in group}
    wiring = result.case.wiring
    terminals = {each.id for each in (*wiring.terminals, *wiring.conductors)} | {
        part.name for part in wiring.parts
    }
    for finding in result.findings:
        assert finding.of in parts and (finding.place in parts or finding.place in terminals), (
            finding
        )
        assert finding.message and finding.source and finding.level in LEVELS, finding
        if finding.level in ("pass", "fail", "danger") and finding.id != "surge-first-way":
            assert finding.value is not None or finding.level == "pass", (
                f"{finding.id} shows no evidence"
            )
        if finding.level == "unknown":
            assert "not known" in finding.message or "assumed" in finding.message, finding
    levels = [AS_TOLD.index(finding.level) for finding in result.findings]
    assert levels == sorted(levels), "the gravest stands first"
    assert len(
        {(finding.id, finding.of, finding.place, finding.message) for finding in result.findings}
    ) == len(result.findings)


@pytest.mark.parametrize("name", JOBS)
def test_what_was_not_seen_in_the_current_book_says_so(name: str) -> None:
    """DESIGN 9: a pass is at most `as of A3:2024, confirm`; a fail or danger stays one and says the
    same.
    """
    result = done(name)
    for finding in result.findings:
        confirm = (
            RULES[finding.id].RULE.not_seen_in_a4 and result.installation.edition == NOT_SEEN_IN
        )
        if finding.level == "pass":
            assert (f"pass {CONFIRM_IN_A4}" in finding.message) == confirm, finding
        elif finding.level in ("fail", "danger"):
            assert (CONFIRM_IN_A4 in finding.message) == confirm, finding
        else:
            assert CONFIRM_IN_A4 not in finding.message


def test_an_older_edition_needs_no_confirming() -> None:
    result = done("marram", ("edition: 2018+A4:2026", "edition: 2018+A3:2024"))
    assert not [finding for finding in result.findings if CONFIRM_IN_A4 in finding.message]


def test_of_the_current_book_one_clause_was_seen() -> None:
    """Of A4:2026 only 536.4.202 was seen, as discussed in public: every other rule that names BS
    7671 asks to confirm.
    """
    for module in RULES.values():
        rule = module.RULE
        seen = "536.4.202" in rule.source and rule.edition.startswith(NOT_SEEN_IN)
        assert rule.not_seen_in_a4 == (
            "BS 7671" in rule.source and not seen or rule.id == "surge-live-lead-size"
        ), rule.id
        assert bool(rule.unread) == seen, rule.id


# ---- the shipped installations


@pytest.mark.parametrize("name", [name for name in EVERY_JOB if name not in WITH_FAULTS])
def test_healthy_installations_have_no_fail_and_no_danger(name: str) -> None:
    assert [
        (finding.id, finding.message)
        for finding in done(name).findings
        if finding.level in ("fail", "danger")
    ] == []


@pytest.mark.parametrize(
    "rule, place, value, limit, words",
    [
        (
            "surge-ahead-of-residual",
            "F2",
            "the RCD over right-hand-side in hall and F1",
            "none, or type S",
            "supplied through the RCD over right-hand-side in hall and F1",
        ),
        ("type-ac-ahead", "feed", "AC", "not AC", "the RCD over right-hand-side in hall"),
        ("surge-leads", "F2", 1.2, 1.0, "longer"),
        ("surge-earth-lead-size", "F2", 2.5, 6.0, "too thin"),
        ("capacity", "drive", 23.5, 40.0, "carries less"),
        ("separate-earths", "post-1", 1.4, 2.5, "touch"),
    ],
)
def test_quince_shows_its_deliberate_faults(
    rule: str, place: str, value: object, limit: object, words: str
) -> None:
    """Leads 0.5 + 0.7 m against 1 m (534.4.8); 6 mm2 by method 103: 23.5 A (Table 4D5); 2.5 m is
    out of reach (417).
    """
    found = [finding for finding in findings(done("quince"), rule) if finding.level == "fail"]
    assert [finding.place for finding in found] == [place]
    assert found[0].value == (pytest.approx(value) if isinstance(value, float) else value)
    assert found[0].limit == limit and words in found[0].message


def test_quince_is_silent_where_it_should_be() -> None:
    """TN-C-S, outdoors, no open-PEN measure: but the point stands on its own rod, so no PEN can
    raise it.
    """
    assert [finding.level for finding in findings(done("quince"), "open-pen-outdoors")] == ["pass"]


def test_same_installation_same_findings() -> None:
    assert done("quince").findings == done("quince").findings
