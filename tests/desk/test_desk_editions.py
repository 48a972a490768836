"""Every copy that was handed out is marked by its own key, whatever `paper` is asked for
afterwards; and who may seal, draw and prove what.

There is no outside reference for our own papers: points are counted by hand (every question right,
or none).
"""

from __future__ import annotations

import json
import re
import time
from pathlib import Path

import pytest
from desk_class import SmallClass, put, small_class

from firstway.desk.papers.drawing_lots import draws_of, why_no_seed
from firstway.desk.papers.key import key_from_text, text_of_key
from firstway.desk.papers.secret import issue_code, new_secret

MOST = "3"


@pytest.fixture(scope="module")
def first_made(tmp_path_factory: pytest.TempPathFactory) -> SmallClass:
    return small_class(tmp_path_factory.mktemp("class"))


@pytest.fixture()
def made(first_made: SmallClass, tmp_path: Path) -> SmallClass:
    return first_made.copied(tmp_path / "class")


# ---- editions ----

OTHER_EDITIONS = {
    "another title": {"title": "Another title"},
    "other figures": {"seed": "another seed of the tests", "title": "A small test"},
    "other questions": {"more": "  - {chapter: surge, kind: one-answer, number: 1}\n"},
}


@pytest.mark.parametrize("why", list(OTHER_EDITIONS))
def test_answers_lie_here_and_another_edition_is_refused(
    made: SmallClass, capsys: pytest.CaptureFixture[str], why: str
) -> None:
    """Before, the only key was written over in silence: of 29 learners 3 kept their marks."""
    made.hand_in(made.key, "K1")
    before = made.bytes()
    made.recipe(**OTHER_EDITIONS[why])
    capsys.readouterr()
    assert made.paper() == 2
    said = capsys.readouterr().err
    assert "answers lie here already" in said and "another edition" in said and "-o" in said
    assert made.bytes() == before and made.mark() == 0 and made.points()["K1"] == MOST


def test_typed_answers_and_another_secret_refuse_as_well(
    made: SmallClass, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    made.type_in(made.key, "K2")
    (tmp_path / "other.txt").write_text(new_secret(), encoding="ascii")
    assert made.paper("--secret", str(tmp_path / "other.txt")) == 2
    assert "other issue codes" in capsys.readouterr().err
    assert made.mark() == 0 and made.points()["K2"] == MOST


@pytest.mark.parametrize("why", list(OTHER_EDITIONS))
def test_a_copy_of_an_earlier_edition_is_marked_by_its_own_key(
    made: SmallClass, capsys: pytest.CaptureFixture[str], why: str
) -> None:
    first = made.key
    made.recipe(**OTHER_EDITIONS[why])
    assert made.paper() == 0
    second = made.key
    assert first.version != second.version
    made.hand_in(first, "K1")
    made.type_in(first, "K2")
    made.hand_in(second, "K3")
    capsys.readouterr()
    assert made.mark() == 0
    said = capsys.readouterr().out
    assert said.count("an earlier edition") == 2 and f"v{first.version}" in said
    assert [made.points()[code] for code in ("K1", "K2")] == [MOST, MOST]
    assert made.points()["K3"] == str(sum(asked.out_of for asked in second.questions))
    feedback = (made.out / "marked/feedback/small-K1-feedback.html").read_text(encoding="utf-8")
    assert f"{MOST} of {MOST} points" in feedback
    other_questions = set(first.by_id) != set(second.by_id)
    assert (made.out / f"marked/report-v{first.version}.html").exists() == other_questions, (
        "only like is put into one table"
    )


def test_the_same_inputs_keep_no_edition_and_a_late_joiner_neither(made: SmallClass) -> None:
    before = made.bytes()
    assert made.paper() == 0 and made.bytes() == before
    made.learners("K0", "K1", "K2", "K3")
    assert made.paper() == 0 and not (made.desk / "earlier").exists()


def test_a_learner_who_left_the_class_list_is_still_marked(
    made: SmallClass, capsys: pytest.CaptureFixture[str]
) -> None:
    first = made.key
    made.hand_in(first, "K2")
    made.learners("K1", "K3")
    assert made.paper() == 0 and "K2" not in made.key.sheets
    assert made.mark() == 0 and made.points() == {"K2": MOST, "K1": "", "K3": ""}
    made.learners(
        "k2", "K1", "K3"
    )  # and one who comes back is one learner, however the code is written
    assert (
        made.paper() == 0 and made.mark() == 0 and made.points() == {"k2": MOST, "K1": "", "K3": ""}
    )


def test_a_code_that_was_written_anew_does_not_lose_the_answers(
    made: SmallClass, capsys: pytest.CaptureFixture[str]
) -> None:
    made.hand_in(made.key, "K2")
    made.learners("K1", "K2b", "K3")
    assert made.paper() == 0 and made.mark() == 0
    assert (
        made.points()["K2"] == MOST
        and "K2: stands in the class list no longer" in capsys.readouterr().out
    )


def test_two_papers_in_one_folder_are_not_copies_of_each_other(
    made: SmallClass, capsys: pytest.CaptureFixture[str]
) -> None:
    first = made.key
    text = made.recipe().read_text(encoding="utf-8")
    (made.folder / "recipe.yaml").write_text(
        text.replace("id: small", "id: other"), encoding="utf-8"
    )
    assert made.paper() == 0
    second = made.key
    made.hand_in(first, "K1", "late.json", saved="2026-11-25T23:00:00.000Z")
    made.hand_in(second, "K1", answers={})
    made.hand_in(first, "K2")
    capsys.readouterr()
    assert made.mark() == 1
    assert made.points() == {"K1": "0", "K2": MOST, "K3": ""}
    assert (
        "late.json: answers to another paper that was made in this folder before; other counts"
        in capsys.readouterr().out
    )


def test_going_back_to_an_edition_keeps_it_once(made: SmallClass) -> None:
    first = made.bytes()
    made.recipe(title="Another title")
    assert made.paper() == 0
    made.recipe()
    assert made.paper() == 0
    assert [folder.name.partition("-")[0] for folder in (made.desk / "earlier").iterdir()] == ["1"]
    now = made.bytes()
    assert all(
        now[name] == content for name, content in first.items() if not name.startswith("typed")
    )


def test_a_damaged_key_is_not_written_over(
    made: SmallClass, capsys: pytest.CaptureFixture[str]
) -> None:
    (made.desk / "key.json").write_text("{", encoding="utf-8")
    before = made.bytes()
    assert made.paper() == 2 and "damaged" in capsys.readouterr().err and made.bytes() == before


def test_a_key_of_an_earlier_program_still_marks(made: SmallClass) -> None:
    """The form of the key gained an entry; without it the key is read as before."""
    data = json.loads((made.desk / "key.json").read_text(encoding="utf-8"))
    assert "public_key" not in data
    made.hand_in(made.key, "K1")
    assert made.mark() == 0 and made.points()["K1"] == MOST


# ---- the seed draws, the secret proves ----


def test_issue_codes_hang_on_the_secret_alone(made: SmallClass, tmp_path: Path) -> None:
    """Before, whoever guessed the seed from a sheet could work out every issue code, 42,000 guesses
    a second.
    """
    other = small_class(_folder(tmp_path, "other"))
    assert (
        other.key.version == made.key.version
        and other.key.sheets["K1"].asked == made.key.sheets["K1"].asked
    )
    assert all(
        other.key.sheets[code].issue != made.key.sheets[code].issue for code in ("K1", "K2", "K3")
    )
    secret = (made.desk / "secret.txt").read_text(encoding="ascii").strip()
    assert re.fullmatch("[0-9a-f]{64}", secret)
    assert made.key.sheets["K1"].issue == issue_code(secret, "small", made.key.version, "K1")
    handed_out = "".join(
        path.read_text(encoding="utf-8") for path in (made.out / "paper/hand-out").iterdir()
    )
    assert secret not in handed_out and "held by the tests" not in handed_out


def _folder(path: Path, name: str) -> Path:
    (path / name).mkdir()
    return path / name


def test_the_same_secret_makes_the_same_bytes_elsewhere(made: SmallClass, tmp_path: Path) -> None:
    again = SmallClass(_folder(tmp_path, "again"))
    again.recipe()
    again.learners("K1", "K2", "K3")
    assert again.paper("--secret", str(made.desk / "secret.txt")) == 0
    assert again.bytes() == made.bytes()


def test_a_secret_is_never_printed_and_for_the_tutor_alone(
    made: SmallClass, capsys: pytest.CaptureFixture[str]
) -> None:
    secret = (made.desk / "secret.txt").read_text(encoding="ascii").strip()
    made.hand_in(made.key, "K1", issue="0000-0000-0000")
    assert made.paper() == 0 and made.mark() == 1
    printed = capsys.readouterr()
    assert secret not in printed.out + printed.err
    assert (made.desk / "secret.txt").stat().st_mode & 0o077 == 0
    assert not any(
        secret.encode() in content
        for name, content in made.bytes().items()
        if not name.endswith("secret.txt")
    )


@pytest.mark.parametrize("text", ["", "x", "0" * 63, "G" * 64])
def test_what_is_no_secret_is_refused(made: SmallClass, tmp_path: Path, text: str) -> None:
    (tmp_path / "secret.txt").write_text(text, encoding="utf-8")
    before = made.bytes()
    assert made.paper("--secret", str(tmp_path / "secret.txt")) == 2 and made.bytes() == before


@pytest.mark.parametrize(
    "seed",
    [
        "change-this-before-use",
        "put-your-own-secret-here",
        "CHANGE ME",
        "secret",
        "1234",
        "aaaaaaaaaaaa",
        "no-secret-this-is-a-sample",
        "my secret",
        "Password!",
    ],
)
def test_placeholders_and_words_that_are_guessed_at_once_are_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], seed: str
) -> None:
    made = SmallClass(tmp_path)
    made.recipe(seed=seed)
    made.learners("K1")
    assert made.paper() == 2
    assert "recipe.yaml:4: the seed" in capsys.readouterr().err and not made.out.exists()


def test_seeds_of_their_own_are_taken() -> None:
    assert not any(
        map(
            why_no_seed,
            ("plums and anvils", "held by the test", "Dienstag 17 Uhr, Raum 4", "zz9-plural-z"),
        )
    )


def test_a_guess_at_a_seed_costs_time() -> None:
    begun = time.process_time()
    draws_of("one guess", "small")
    assert time.process_time() - begun > 0.01, "100 guesses a second at most, not 42,000"


# ---- what a paper began sealed stays sealed ----


def test_a_forgotten_key_unseals_nobody(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Before, `paper` without --key gave a late joiner's whole class pages that save their answers
    open.
    """
    pytest.importorskip("cryptography")
    made = SmallClass(tmp_path)
    made.recipe()
    made.learners("K1", "K2")
    pem = str(tmp_path / "tutor.pem")
    assert made.paper("--key", pem) == 0
    sealed = made.key.public_key
    assert sealed is not None
    made.learners("K1", "K2", "K3")
    capsys.readouterr()
    assert made.paper() == 0 and "stay sealed" in capsys.readouterr().out
    for code in ("K1", "K2", "K3"):
        assert sealed["n"] in (made.out / f"paper/hand-out/small-{code}.html").read_text(
            encoding="utf-8"
        )
    assert made.key.public_key == sealed
    assert made.paper("--key", str(tmp_path / "another.pem")) == 2
    assert "another key" in capsys.readouterr().err
    assert made.paper("--key", pem) == 0
    made.hand_in(made.key, "K1")  # an open file for a sealed paper is marked, and named
    assert made.mark("--key", pem) == 0
    assert "handed in open" in capsys.readouterr().out and made.points()["K1"] == MOST


def test_a_class_that_was_marked_is_not_lost_by_a_forgotten_key(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Before, `mark` without --key wrote that nobody had handed anything in, over the marks of
    yesterday.
    """
    pytest.importorskip("cryptography")
    made = SmallClass(tmp_path)
    made.recipe()
    made.learners("K1", "K2")
    pem = str(tmp_path / "tutor.pem")
    assert made.paper("--key", pem) == 0
    made.hand_in(made.key, "K1")
    sealed = {
        "format": "firstway sealed answers 1",
        "paper": "small",
        "learner": "K2",
        "key": "AAAA",
        "iv": "AAAA",
        "sealed": "AAAA",
    }
    put(made.out / "answers", "k2.json", sealed)
    assert made.mark("--key", pem) == 1 and made.points()["K1"] == MOST
    before = made.bytes()
    capsys.readouterr()
    assert made.mark() == 2 and made.bytes() == before
    assert "name with --key" in capsys.readouterr().err


def test_a_sealed_file_among_open_ones_stops_nobody(made: SmallClass) -> None:
    made.hand_in(made.key, "K1")
    put(
        made.out / "answers",
        "k2.json",
        {
            "format": "firstway sealed answers 1",
            "paper": "small",
            "learner": "K2",
            "key": "A",
            "iv": "A",
            "sealed": "A",
        },
    )
    assert made.mark() == 1 and made.points()["K1"] == MOST


def test_no_private_key_is_made_for_papers_that_are_refused(tmp_path: Path) -> None:
    pytest.importorskip("cryptography")
    made = SmallClass(tmp_path)
    made.recipe(seed="change-this-before-use")
    made.learners("K1")
    assert (
        made.paper("--key", str(tmp_path / "tutor.pem")) == 2
        and not (tmp_path / "tutor.pem").exists()
    )


def test_a_key_made_before_the_safety_questions_were_called_so_is_read(made: SmallClass) -> None:
    text = text_of_key(made.key)
    assert '"safety"' in text and key_from_text(text.replace('"safety"', '"must_pass"')) == made.key
