"""The scripts that the page of one's own job loads: the jobs to the byte, and no engine unasked."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from firstway.model.blank import blank_installation
from firstway.rendering.policy import policy_html
from firstway.site.engine_files import put_engine

FOLDER = "assets/engine"


def arguments(script: Path) -> list[object]:
    """What a script hands to its function."""
    text = script.read_text("utf-8")
    found: list[object] = json.loads(f"[{text[text.index('(') + 1 : text.rindex(')')]}]")
    return found


def test_put_engine__without_it_the_form_and_every_job_are_there(
    root: Path, tmp_path: Path
) -> None:
    put_engine(tmp_path, root, ["marram"], None)
    about = json.loads((tmp_path / FOLDER / "about.js").read_text("utf-8")[15:-2])
    assert about["engine"] is False and about["jobs"] == [
        ["marram", "Marram Boatyard, slipway post"]
    ]
    assert about["first"] == "marram"
    assert about["form"]["sections"][about["form"]["whole"]]
    name, text, data = arguments(tmp_path / FOLDER / "jobs/marram.js")
    assert (name, text) == ("marram", (root / "diagrams/marram.yaml").read_text("utf-8"))
    assert isinstance(data, dict) and data["title"] == about["jobs"][0][1]
    assert arguments(tmp_path / FOLDER / "jobs/_blank.js")[1] == blank_installation()
    assert {each.name for each in (tmp_path / FOLDER).iterdir()} == {"about.js", "jobs"}


@pytest.mark.parametrize(("first", "opens_on"), [("tern", "tern"), ("", "marram")])
def test_put_engine__the_page_opens_on_the_job_that_is_named(
    root: Path, tmp_path: Path, first: str, opens_on: str
) -> None:
    put_engine(tmp_path, root, ["marram", "tern"], None, first)
    about = json.loads((tmp_path / FOLDER / "about.js").read_text("utf-8")[15:-2])
    assert about["first"] == opens_on


def test_policy__only_what_runs_the_program_may_make_a_worker_of_what_it_loaded() -> None:
    plain, engine = (str(policy_html("", beside=True, engine=each)) for each in (False, True))
    for words in ("blob:", "wasm-unsafe-eval", "worker-src"):
        assert words not in plain and words in engine
    assert "&#39;unsafe-eval&#39;" not in engine and "'unsafe-eval'" not in engine
