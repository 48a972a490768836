"""The papers of a job: what a draft holds back, what is counted, and what is never said.

Lengths and verdicts are the program's own, so that the papers agree with the working is held here;
that the working is right is held elsewhere.
"""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from changing import DIAGRAMS, done
from sampling import JOBS, many

from firstway.checks.stakes import STAKES
from firstway.choosing.completing import Completed, completed
from firstway.cli import main
from firstway.drawing.front.cover_labels import labels_beside
from firstway.model.reading import installation_from_yaml
from firstway.model.values import UNKNOWN
from firstway.record.bringing import brought, cable_to_bring, cutting_list
from firstway.record.making import made_from, papers_of
from firstway.record.sheets import NAMES, NOT_ENERGISED, sheets_of
from firstway.record.site_sheets import SITE_SHEETS
from firstway.record.standing import KEEPS_A_DRAFT, Standing, standing_of

HELD_BACK = {"method.html", "labels.html", "for-the-user.html"}


def done_from(text: str) -> Completed:
    installation, problems = installation_from_yaml(text, "job.yaml", "job")
    assert installation is not None and not problems, problems
    made, problems = completed(installation)
    assert made is not None and not problems, problems
    return made


@pytest.fixture(scope="module")
def ready() -> Completed:
    """Marram when the network operator has told the size of its neutral."""
    text = (DIAGRAMS / "marram.yaml").read_text("utf-8")
    return done_from(text.replace("\nsupply:\n", "\nsupply:\n  neutral_csa_mm2: 25\n", 1))


def text_of(page: str) -> str:
    return " ".join(BeautifulSoup(page, "html.parser").get_text(" ").split())


def test_keeps_a_draft__names_rules_that_there_are() -> None:
    named = " ".join(KEEPS_A_DRAFT.values()).split()
    assert set(named) <= set(STAKES) and len(named) == len(set(named))


@pytest.mark.parametrize("job", ["marram", "quince", "alder"])
def test_papers__of_a_draft_say_so_on_every_sheet_and_hold_back_method_and_labels(job: str) -> None:
    made = done(job)
    papers = papers_of(made)
    assert not HELD_BACK & set(papers)
    for name in set(papers) - {f"{each}.html" for each in SITE_SHEETS}:
        said = BeautifulSoup(papers[name], "html.parser")
        sheets = said.select(".sheet-of-record")
        assert sheets and all(each.select_one(".draft-band") for each in sheets), name
        assert said.select_one(".draft-across").get_text() == NOT_ENERGISED
    assert "Live tests are withheld" in text_of(papers["tests.html"])
    assert "Cut and order nothing" in text_of(papers["cutting-list.html"])
    told = text_of(papers["what-stands.html"])
    for each in made.findings:
        if each.level in ("danger", "fail"):
            assert each.message in told


def test_papers__a_single_grave_unknown_makes_a_draft(ready: Completed) -> None:
    assert not standing_of(ready).draft and standing_of(done("marram")).draft
    passed = next(each for each in ready.findings if each.id == "fault-opens-in-time")
    graver = replace(ready, given=(replace(passed, level="unknown"),))
    lighter = replace(
        ready,
        given=tuple(
            replace(each, level="unknown") for each in ready.findings if each.id == "voltage-drop"
        ),
    )
    assert standing_of(graver).draft and not standing_of(lighter).draft


def test_papers__of_a_job_that_may_go_on(ready: Completed) -> None:
    papers = papers_of(ready)
    names = (*NAMES[:-1], *SITE_SHEETS, "all-sheets")
    assert set(papers) == {f"{name}.html" for name in names}
    assert all(NOT_ENERGISED not in page for page in papers.values())
    method = text_of(papers["method.html"])
    first = method.index("First of all the supply.")
    plan, isolated = method.index("1. Before the work begins"), method.index("Hold. The supply is")
    assert first < plan < isolated < method.index("Enclosure and entries")
    dead, energised = (
        method.index("Hold. Dead tests accepted"),
        method.index("Hold. May be energised"),
    )
    assert (
        method.index("Dead tests", isolated)
        < dead
        < energised
        < method.index("authorised person only")
    )
    labels = BeautifulSoup(papers["labels.html"], "html.parser")
    sizes = {each["width"] for each in labels.select("svg.label-outline")}
    assert sizes and all(each.endswith("mm") for each in sizes)
    assert labels.get_text().count("Wording of the book:") == len(labels.select("section.label"))


def test_papers__every_open_question_has_its_line_on_every_copy(ready: Completed) -> None:
    papers, asked = papers_of(ready), standing_of(ready).open
    assert asked
    papers.pop("survey.html")  # it asks by the keys of the file, before there is any work
    for name, page in papers.items():
        sheets = BeautifulSoup(page, "html.parser").select(".sheet-of-record")
        for sheet in sheets:
            lines = [
                " ".join(each.get_text().split()) for each in sheet.select("table.open tbody th")
            ]
            assert len(lines) == len(asked), name
            assert all(each.text in line for each, line in zip(asked, lines)), name


def test_papers__each_sheet_says_which_of_how_many_it_is_and_from_what_it_was_made(
    ready: Completed,
) -> None:
    page = BeautifulSoup(papers_of(ready)["all-sheets.html"], "html.parser")
    blocks = [
        " ".join(each.get_text(" ").split())
        for each in page.select(".sheet-of-record .sheet-block")
    ]
    assert len(blocks) == len(page.select(".sheet-of-record")) == len(NAMES) - 1
    for place, said in enumerate(blocks, 1):
        assert f"Sheet {place} of {len(blocks)}:" in said and "Marram Boatyard" in said
        assert "Made from job.yaml, state " in said and "Printed on, by ...." in said
        # asked for the newest edition, of which the wording was not seen
        assert "2018+A4:2026" in said and "read as of A3:2024" in said
    assert 'page " counter(page)' in page.style.get_text()


def test_made_from__is_the_same_for_the_same_facts_alone(ready: Completed) -> None:
    text = (DIAGRAMS / "marram.yaml").read_text("utf-8")
    plain, noted = done_from(text), done_from(f"# a note\n{text}")
    other = done_from(re.sub(r"(?m)^edition: .*$", "edition: 2018+A3:2024", text))
    assert made_from(plain.installation) == made_from(noted.installation)
    assert made_from(plain.installation) != made_from(ready.installation)
    assert made_from(other.installation) != made_from(plain.installation)
    assert papers_of(plain) == papers_of(done_from(text))


def test_papers__what_a_file_is_called_ends_no_style() -> None:
    text = (DIAGRAMS / "marram.yaml").read_text("utf-8")
    made = done_from(
        re.sub(r"^title: .*$", "title: 'a\"; } body { display: none'", text, flags=re.M)
    )
    style = BeautifulSoup(papers_of(made)["tests.html"], "html.parser")
    assert "display: none'" not in style.style.get_text() and 'a"; }' not in style.style.get_text()


def test_papers__of_a_draft_have_their_questions_once_where_all_sheets_are_one_paper() -> None:
    made = done("quince")
    asked = standing_of(made).open
    page = BeautifulSoup(papers_of(made)["all-sheets.html"], "html.parser")
    sheets = page.select(".sheet-of-record")
    assert [len(each.select("table.open tbody tr")) for each in sheets] == [
        len(asked),
        *[0] * (len(sheets) - 1),
    ]
    said = f"{len(asked)} questions are open: a line for each stands on sheet 1 of {len(sheets)}"
    assert all(said in " ".join(each.get_text().split()) for each in sheets[1:])


def test_labels__that_say_the_same_stand_once_with_how_many(
    ready: Completed, monkeypatch: pytest.MonkeyPatch
) -> None:
    twice = lambda front: (*labels_beside(front), *labels_beside(front))
    monkeypatch.setattr("firstway.record.sheets.labels_beside", twice)
    monkeypatch.setattr("firstway.record.bringing.labels_beside", twice)
    page = BeautifulSoup(papers_of(ready)["labels.html"], "html.parser")
    titles = [each.get_text() for each in page.select("section.label h3")]
    assert len(titles) == len(set(titles)) and any(each.endswith(": 2 of them") for each in titles)
    lines = [each for each in brought(ready) if each.what.startswith("label: ")]
    assert len({each.what for each in lines}) == len(lines) and "2" in {e.amount for e in lines}


@pytest.mark.parametrize("job", ["whimbrel", "linnet"])
def test_papers__of_a_draft_tell_how_each_source_is_isolated_and_labelled(job: str) -> None:
    """BS 7671 514.15 (from memory): where the network is isolated and at each source; the d.c. side
    of modules has its own.
    """
    made = done(job)
    said = text_of(papers_of(made)["what-stands.html"])
    assert "At the origin" in said and "514.15" in said
    for source in made.installation.sources:
        assert f"At the isolator of {source.name}" in said
        assert f"{source.name}: stopped as its maker says" in said
        if source.kind == "photovoltaic":
            assert f"On the d.c. side of {source.name}" in said
    assert ("the vehicle unplugged" in said) == (job == "linnet")
    assert "To be isolated too" not in text_of(papers_of(done("marram"))["what-stands.html"])


def test_papers__that_may_go_out_isolate_every_source_and_tell_the_user() -> None:
    made = done("whimbrel")
    sheets = {each.name: each for each in sheets_of(made, Standing((), (), ()))}
    method, user = (text_of(str(sheets[name].body)) for name in ("method", "for-the-user"))
    for source in made.installation.sources:
        assert f"{source.name}: stopped as its maker says, its isolator opened" in method
        assert str(source.name) in user
    assert "Three sources feed here: the network and" in user
    assert "sources feed here" not in text_of(
        str({each.name: each for each in sheets_of(done("marram"), Standing((), (), ()))}
            ["for-the-user"].body)
    )  # fmt: skip


def test_papers__of_a_source_that_nobody_saw_isolated_ask_for_its_isolator() -> None:
    made = done("whimbrel", ("isolator: true, isolator_dc: true", "isolator: unknown"))
    said = text_of(papers_of(made)["what-stands.html"])
    assert "Isolator of roof-inverter?" in said and "At the isolator of roof-inverter" not in said


def test_papers__hold_no_key_of_the_file() -> None:
    """Papers are read on site; keys are for whoever writes the file."""
    for job in ("quince", "alder"):
        for name, page in papers_of(done(job)).items():
            said = BeautifulSoup(page, "html.parser")
            for each in said.select(".keys-of-it, style"):
                each.decompose()
            assert not re.search(r"[a-z]+_(?:mm2?|m|ohm|awg|ka)\b", said.get_text(" ")), name


def test_papers__no_sheet_for_the_user_before_every_reading_is_there(ready: Completed) -> None:
    standing = standing_of(ready)
    assert standing.not_read and "for-the-user.html" not in papers_of(ready)
    assert any("not stated: day, instrument, who" in each for each in standing.not_read)
    names = [each.name for each in sheets_of(ready, Standing((), (), ()))]
    assert names == list(NAMES)
    against = Standing(tuple(done("quince").findings[:1]), (), ())
    assert "for-the-user" not in [each.name for each in sheets_of(ready, against)]


def test_papers__the_sheet_for_the_user_is_plain(ready: Completed) -> None:
    said = text_of(str(sheets_of(ready, Standing((), (), ()))[-1].body))
    for words in ("Open nothing", "Change no fuse", "every 6 months", "reduces", "Whom to call"):
        assert words in said
    assert "protected" not in said


@pytest.mark.parametrize("job", ["marram", "alder", "sallow"])
def test_papers__never_speak_as_a_certificate(job: str, ready: Completed) -> None:
    made = ready if job == "marram" else done(job)
    papers = papers_of(made)
    form = {"alder": "permit", "marram": "certificate with its schedules"}.get(job, "certificate")
    assert form in text_of(papers["what-stands.html"])
    for name, page in papers.items():
        said = text_of(page)
        assert not re.search(r"\bcertified\b|\bis safe\b|\bare safe\b|\bsignature\b", said, re.I), (
            name
        )
        assert not re.search(r"\b(?:certificate|report|record) (?:no\.|number|#)", said, re.I), name
        assert "Caution." in said and "No certificate" in said
        assert (
            "certificate with its schedules" in said
            or name not in ("what-stands.html",)
            or job != "marram"
        )


def test_cutting_list__is_the_plans(ready: Completed) -> None:
    laid = ready.case.layout.by_id
    cuts = cutting_list(ready)
    assert len(cuts) == 4  # two leads and two neutrals; all else is bar or cable
    inside = {round(each.cutting_m, 9) for each in laid.values() if each.inside}
    assert all(round(each.cutting_m, 9) in inside and each.cutting_m > each.laid_m for each in cuts)


@pytest.mark.parametrize(
    ("route", "asked"),
    [((18,), 19.0), ((20,), 21.0), ((0.8,), 1.0), ((10, 10.5), 22.0), (("unknown",), None)],
)
def test_cable_to_bring(route: tuple[object, ...], asked: float | None) -> None:
    """Reckoned by hand: five in a hundred more, up to the next half metre."""
    made = done("marram").installation.circuits[0].route[0]
    lengths = [UNKNOWN if each == "unknown" else float(str(each)) for each in route]
    assert cable_to_bring(tuple(replace(made, length_m=each) for each in lengths)) == asked


@pytest.mark.parametrize("job", JOBS[:: many(4, 1)])
def test_brought__every_device_and_cable_is_on_the_list(job: str) -> None:
    made = done(job)
    told = "\n".join(each.what for each in brought(made))
    for way in made.installation.board.ways:
        assert way.device == "blank" or way.name in told
    cuts = cutting_list(made)
    assert all(f"conductor for the board, {each.size}" in told for each in cuts)
    for circuit in made.installation.circuits:
        assert f"cable of {circuit.name}" in told


def test_record__takes_the_place_of_earlier_papers_and_of_nothing_else(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = (DIAGRAMS / "marram.yaml").read_text("utf-8")
    file, out = tmp_path / "job.yaml", tmp_path / "deep" / "papers"
    file.write_text(text.replace("\nsupply:\n", "\nsupply:\n  neutral_csa_mm2: 25\n", 1), "utf-8")
    assert main(["record", str(file), "-o", str(out)]) == 0 and (out / "method.html").is_file()
    file.write_text(text, "utf-8")
    assert main(["record", str(file), "-o", str(out)]) == 0
    assert "not to be energised" in capsys.readouterr().out
    assert not (out / "method.html").exists() and not (out / "labels.html").exists()
    (out / "mine.txt").write_text("kept", "utf-8")
    before = sorted(path.name for path in out.iterdir())
    assert main(["record", str(file), "-o", str(out)]) == 2
    assert "name a new folder" in capsys.readouterr().err
    assert sorted(path.name for path in out.iterdir()) == before
    assert main(["record", str(file), "-o", str(file)]) == 2
    assert "cannot be written" in capsys.readouterr().err and file.read_text("utf-8") == text


def test_record__of_a_file_that_is_none_writes_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "job.yaml"
    file.write_text("title: x\n", "utf-8")
    assert main(["record", str(file), "-o", str(tmp_path / "papers")]) == 2
    assert "job.yaml" in capsys.readouterr().err and not (tmp_path / "papers").exists()


def test_papers__what_a_file_says_is_text() -> None:
    text = (DIAGRAMS / "marram.yaml").read_text("utf-8")
    evil = "<script>alert(1)</script>"
    made = done_from(re.sub(r"^title: .*$", f'title: "{evil}"', text, flags=re.M))
    for page in papers_of(made).values():
        assert (
            "<script>alert" not in str(page) and BeautifulSoup(page, "html.parser").script is None
        )
