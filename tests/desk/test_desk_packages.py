"""Packages of open standards: what no schema sees is found by our own checks, and both versions
hold the same questions.

Element names and the structure of a package are those of QTI 3.0, QTI 2.1 and SCORM 1.2 (from
memory of the standards); that other programs read and mark them alike is tried in
tests/browser/test_packages_elsewhere.py.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree as XML

import pytest

from firstway.cli import main
from firstway.desk.exports.package_checks import faults_of_package
from firstway.desk.exports.packages import package_of

ROOT = Path(__file__).resolve().parents[2]
RECIPE, BANK = ROOT / "quiz/papers/inside-the-board.yaml", ROOT / "quiz/bank/the-device.yaml"


@pytest.fixture(scope="module")
def packages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, str]]:
    folder = tmp_path_factory.mktemp("packages")
    found = {}
    for name, source, form in (
        ("3.0", RECIPE, "qti-3.0"),
        ("2.1", RECIPE, "qti-2.1"),
        ("bank", BANK, "qti-3.0"),
        ("scorm", RECIPE, "scorm-1.2"),
    ):
        assert main(["package", str(source), form, "-o", str(folder / f"{name}.zip")]) == 0
        with zipfile.ZipFile(folder / f"{name}.zip") as archive:
            found[name] = {entry: archive.read(entry).decode() for entry in archive.namelist()}
    return found


def test_the_packages_are_sound_and_hold_every_question(
    packages: dict[str, dict[str, str]],
) -> None:
    for files in packages.values():
        assert faults_of_package(package_of(files)) == []
    assert set(packages["3.0"]) == set(packages["2.1"])
    assert "test.xml" in packages["3.0"] and "test.xml" not in packages["bank"]
    assert len([name for name in packages["bank"] if name.endswith(".xml")]) > len(
        re.findall(r"^  - id:", BANK.read_text(encoding="utf-8"), re.MULTILINE)
    )


def test_titles_of_items_are_words(packages: dict[str, dict[str, str]]) -> None:
    """A player lists items by their titles: an id such as `cable-drop-tern` tells a tutor
    nothing.
    """
    titles = [
        XML.fromstring(text).get("title", "")
        for files in packages.values()
        for name, text in files.items()
        if name.startswith("items/") and name.endswith(".xml")
    ]
    assert titles and all(" " in title and len(title) <= 80 for title in titles)


def test_the_older_version_has_no_newer_names(packages: dict[str, dict[str, str]]) -> None:
    for name, text in packages["2.1"].items():
        if name.endswith(".xml"):
            assert "qti-" not in text.replace("imsqti", "") and not re.search(
                r"<[a-z]+-[a-z]", text
            ), name
            assert "v3p0" not in text


def test_a_number_is_marked_by_a_pair_of_bounds_in_every_version(
    packages: dict[str, dict[str, str]],
) -> None:
    texts = [
        text
        for name in ("3.0", "2.1", "bank")
        for text in packages[name].values()
        if "extEntryInteraction" in text or "text-entry" in text
    ]
    assert texts
    for text in texts:
        assert (
            "olerance" not in text
            and re.search(r"<(?:qti-)?gte>", text)
            and re.search(r"<(?:qti-)?lte>", text)
        )


def test_no_range_takes_nothing_for_a_number(packages: dict[str, dict[str, str]]) -> None:
    """Before, a window that spans 0 gave its point to an empty answer in a player that compares
    nothing as 0.
    """
    ranges = 0
    for text in (
        text
        for files in packages.values()
        for name, text in files.items()
        if name.startswith("items/") and name.endswith(".xml")
    ):
        for both in (
            each
            for each in XML.fromstring(text).iter()
            if [short(child) for child in each][-2:] == ["gte", "lte"]
        ):
            ranges += 1
            names = {
                variable.get("identifier")
                for variable in both.iter()
                if short(variable) == "variable"
            }
            guard = both[0]
            assert short(both) == "and" and len(names) == 1
            assert (
                short(guard) == "not"
                and short(guard[0]) == "isnull"
                and guard[0][0].get("identifier") in names
            )
    assert ranges > 20


def short(element: XML.Element) -> str:
    """An element's name without what tells the two versions apart."""
    return element.tag.rpartition("}")[2].removeprefix("qti-").replace("-", "").casefold()


def test_feedback_goes_to_practice_alone(packages: dict[str, dict[str, str]]) -> None:
    bank = BANK.read_text(encoding="utf-8")
    assigned = re.findall(r"- id: (\S+)(?:(?!- id:).)*?use: assigned", bank, re.DOTALL)
    assert assigned
    for id_ in assigned:
        for name, text in packages["bank"].items():
            if name.startswith(f"items/q-{id_}.") and name.endswith(".xml"):
                assert "modal-feedback" not in text


FAULTS: dict[str, tuple[Callable[[dict[str, str]], dict[str, str]], str]] = {
    "a response that is not declared": (
        lambda files: edited(
            files, 'response-identifier="RESPONSE"', 'response-identifier="REPLY"'
        ),
        "not declared",
    ),
    "a right answer that is no choice": (
        lambda files: edited(files, "<qti-value>choice-", "<qti-value>choice-z"),
        "no choice",
    ),
    "two choices of one name": (
        lambda files: edited(
            files,
            '<qti-simple-choice identifier="choice-b"',
            '<qti-simple-choice identifier="choice-a"',
        ),
        "stands twice",
    ),
    "feedback on nothing": (
        lambda files: edited(files, 'outcome-identifier="FEEDBACK"', 'outcome-identifier="WORDS"'),
        "feedback on",
    ),
    "no most points": (
        lambda files: edited(files, 'identifier="MAXSCORE"', 'identifier="MOST"'),
        "MAXSCORE",
    ),
    "a picture that is not there": (
        lambda files: {name: text for name, text in files.items() if not name.endswith(".svg")},
        "not",
    ),
    "a file that is not listed": (lambda files: {**files, "items/more.xml": "<a/>"}, "not listed"),
    "a listed file that is not there": (
        lambda files: {name: text for name, text in files.items() if name != "test.xml"},
        "listed and not there",
    ),
    "a resource that is not there": (
        lambda files: edited(files, 'identifierref="resource-q', 'identifierref="source-q'),
        "is no resource",
    ),
    "a link to elsewhere": (
        lambda files: edited(files, ' src="q-', ' src="https://elsewhere.example/q-'),
        "leads out",
    ),
    "a path to elsewhere": (lambda files: {**files, "../out.xml": "<a/>"}, "leads out"),
    "broken XML": (lambda files: {**files, "test.xml": files["test.xml"][:-9]}, "well-formed"),
    "no manifest": (
        lambda files: {name: text for name, text in files.items() if name != "imsmanifest.xml"},
        "imsmanifest",
    ),
}


def edited(files: dict[str, str], old: str, new: str) -> dict[str, str]:
    assert any(old in text for text in files.values()), f"{old} is nowhere"
    return {name: text.replace(old, new) for name, text in files.items()}


@pytest.mark.parametrize("fault", list(FAULTS))
def test_a_fault_that_no_schema_sees_is_found(
    packages: dict[str, dict[str, str]], fault: str
) -> None:
    change, words = FAULTS[fault]
    found = faults_of_package(package_of(change(packages["3.0"])))
    assert any(words in each for each in found), found


def test_a_right_value_outside_its_bounds_is_found(packages: dict[str, dict[str, str]]) -> None:
    files = {
        name: re.sub(r"(<qti-lte>.*?<qti-base-value base-type=\"float\">)[^<]*", r"\g<1>-99", text)
        for name, text in packages["bank"].items()
    }
    assert any("outside its bounds" in each for each in faults_of_package(package_of(files)))


def test_a_scorm_manifest_with_loose_ends_is_found(packages: dict[str, dict[str, str]]) -> None:
    for old, new, words in (
        ('default="organization-1"', 'default="organization-9"', "no organization"),
        ('identifierref="resource-1"', 'identifierref="resource-9"', "no resource"),
    ):
        assert any(
            words in each
            for each in faults_of_package(package_of(edited(packages["scorm"], old, new)))
        )


def test_what_is_no_zip_is_told() -> None:
    assert faults_of_package(b"PK not really") == ["this is no zip file"]
    twice = io.BytesIO()
    with zipfile.ZipFile(twice, "w") as archive:
        archive.writestr("imsmanifest.xml", "<a/>")
        with pytest.warns(UserWarning):
            archive.writestr("imsmanifest.xml", "<a/>")
    assert any("stands twice" in each for each in faults_of_package(twice.getvalue()))


def test_the_problems_of_the_source_are_told_and_nothing_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["package", str(BANK), "scorm-1.2", "-o", str(tmp_path / "x.zip")]) == 2
    assert "needs a recipe" in capsys.readouterr().err
    assert (
        main(["package", str(tmp_path / "none.yaml"), "qti-3.0", "-o", str(tmp_path / "x.zip")])
        == 2
    )
    assert not list(tmp_path.iterdir())
