"""One file of cases, two markers: `quiz_cases.json` runs through Python, node and the browser's page script.

What is expected is known by construction: a number is written out in many hands, and its value, not a
parser, decides. `python tests/test_quiz_cases.py` writes the file anew after a change below.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from decimal import Decimal
from pathlib import Path
from typing import Any, Iterator

import pytest

HERE = Path(__file__).resolve().parent
FILE = HERE / "quiz_cases.json"
SCRIPT = HERE.parent / "content" / "assets" / "quiz.js"
if __name__ == "__main__":
    sys.path.insert(0, str(HERE.parent / "tools"))

from firstway.quiz.marking import WORDS, key_from_data, marked  # noqa: E402
from firstway.quiz.units import spellings  # noqa: E402

THIN, NO_BREAK, NARROW, FIGURE_SPACE = "\u2009", "\u00a0", "\u202f", "\u2007"


def number_key(unit: str, low: float, high: float, wrong: tuple[tuple[str, float, float], ...] = ()) -> dict[str, Any]:
    return {"kind": "number", "unit": unit, "spellings": list(spellings(unit)), "low": low, "high": high,
            "answer": f"the answer in {unit}", "why": "Because {of} <b>this</b>.",
            "wrong": [{"mistake": name, "low": at, "high": to, "feedback": f"Look at {name} again."} for name, at, to in wrong]}


KEYS: dict[str, dict[str, Any]] = {
    "drop": number_key("V", 4.20207, 4.29713, (("device rating", 5.2407, 5.3613), ("twice", 8.3607, 8.5413))),
    "limit": number_key("ohm", 1.07647, 1.10853, (("no factor", 1.13347, 1.16653), ("reading", 0.86477, 0.88323))),
    "rod": number_key("ohm", 1649.497, 1683.843, (("milliampere", 1.64497, 1.68843), ("full voltage", 7589.497, 7743.843))),
    "below-zero": number_key("C", -25.3053, -24.6947, (("sign lost", 24.6947, 25.3053),)),
    "small": number_key("m", 0.00094, 0.00106, (("thousand", 0.94997, 1.05003),)),
    "plain": number_key("", 4.94997, 5.05003),
    "choice": {"kind": "one-answer", "answer": "the second", "why": "It is so.",
               "options": [{"id": "o1111111", "right": False, "mistake": "first mistake", "feedback": "Not the first."},
                           {"id": "o2222222", "right": True, "mistake": "", "feedback": ""},
                           {"id": "o3333333", "right": False, "mistake": "third mistake", "feedback": "Not the third."}]},
}

VALUES = {
    "drop": ("4.25", "4.2496", "4.3", "4.2", "4.21", "4.29", "5.3", "8.45", "425", "0.00425", "42.5", "-4.25"),
    "limit": ("1.09", "1.0925", "1.1", "1.15", "0.874", "0.87", "0.546", "10.9", "2"),
    "rod": ("1667", "1666.67", "1650", "1649", "7667", "1.667", "1700", "16667", "1683.84", "1683.85"),
    "below-zero": ("-25", "-24.7", "25", "-26", "0", "-25.31"),
    "small": ("0.001", "0.00105", "1", "0.002", "0.01"),
    "plain": ("5", "4.95", "5.06", "-5"),
}
NONSENSE = ("abc", "V", "--5", "+-5", "5-6", "1/2", "4..25", "4.2.5", "4,2,5", "1e", "e5", "1.2e3.4", "NaN", "nan", "Infinity",
            "-inf", "0x1F", "#4.25", "<b>4.25</b>", "=4.25", "=1+1", "'4.25", "about 4.25", ".", ",", "-", "+", "-.", "1e999",
            "-1e400", "9e9999", "٤٫٢٥", "4 25", "12 34", "1 2345", "4,25,", "4.25.", "(4.25)", "4.25 (V)", "4:25", "½",
            "四", "\ud83d\ude00", "null", "undefined", "__proto__", "constructor", "{answer}", "4.25 + 0", "4.25 * 1", "4.25 < 5")
# These begin with a number; what follows is no unit.
WITH_STRANGE_UNIT = {"0x1F", "1e", "1.2e3.4", "9e9999"}
EMPTY = ("", " ", "   ", THIN, NO_BREAK * 3, "\t\n", "\u200b")
WRONG_UNITS = {"drop": ("mV", "kV", "A", "V/m", "volts!", "V V", "M"), "limit": ("V", "kohm", "m", "ohm/km"),
               "rod": ("A", "kohm", "mohm"), "plain": ("V", "x", "%")}


def state_of(key: dict[str, Any], value: Decimal) -> tuple[str, str]:
    """What a number deserves, from the number itself."""
    if Decimal(str(key["low"])) <= value <= Decimal(str(key["high"])):
        return "right", ""
    for wrong in key["wrong"]:
        if Decimal(str(wrong["low"])) <= value <= Decimal(str(wrong["high"])):
            return "mistake", wrong["mistake"]
    return "wrong", ""


def hands(text: str, units: tuple[str, ...]) -> Iterator[str]:
    """The same number as different people type it."""
    value = Decimal(text)
    yield text
    yield text.replace(".", ",")
    yield f"  {text} "
    yield f"{NO_BREAK}{text}{THIN}"
    if text.startswith("-"):
        for minus in ("\u2212", "\u2013", "\u2010", "\uff0d", "- ", "\u2212" + THIN):
            yield minus + text[1:]
    else:
        yield "+" + text
    if "." in text:
        yield text + "0"
        yield text.replace("0.", ".", 1) if text.startswith("0.") else text.replace(".", ",") + "00"
    else:
        yield text + "."
        yield text + ",0"
    for unit in units[:4]:
        yield f"{text} {unit}"
        yield f"{text.replace('.', ',')}{NARROW}{unit}"
    # An exponent of two digits and a factor of ten say the same number.
    shifted = value.scaleb(-2)
    yield f"{shifted:f}e2"
    yield f"{value.scaleb(3):f}E-3".replace(".", ",")
    yield f"{shifted:f} x 10^2"
    yield f"{value.scaleb(3):f}\u00d710\u207b\u00b3"
    yield f"{shifted:f}\u00b710\u00b2"
    digits = text.lstrip("-").partition(".")[0]
    if len(digits) == 4:
        sign, rest = ("-" if text.startswith("-") else ""), text.lstrip("-")[1:]
        for space in (" ", THIN, NO_BREAK, NARROW, FIGURE_SPACE):
            yield f"{sign}{digits[0]}{space}{rest}"
        point = rest if "." in rest else rest + ".0"
        yield f"{sign}{digits[0]},{point}"
        yield f"{sign}{digits[0]}.{point.replace('.', ',')}"


def cases() -> list[dict[str, str]]:
    """Every case: key, what was typed, the state and the mistake it must give."""
    made: dict[tuple[str, str], tuple[str, str]] = {}
    for name, texts in VALUES.items():
        key = KEYS[name]
        for text in texts:
            for typed in hands(text, tuple(key["spellings"])):
                made[name, typed] = state_of(key, Decimal(text))
        for unit in WRONG_UNITS.get(name, ()):
            made[name, f"{texts[0]} {unit}"] = ("unit", "")
        for typed in EMPTY:
            made[name, typed] = ("empty", "")
    for typed in NONSENSE:
        made["drop", typed] = ("unit", "") if typed in WITH_STRANGE_UNIT else ("not-a-number", "")
    made["drop", "9" * 500] = ("wrong", "")                # cut, still a number, far too large
    made["drop", "4.25" + " " * 500 + "x"] = ("right", "")  # cut before the x
    made["drop", "x" * 2_000] = ("not-a-number", "")
    made["rod", "1,667"] = ("mistake", "milliampere")        # a lone comma is the decimal mark
    made["rod", "1,667.0"] = ("right", "")
    made["rod", "0,001,667"] = ("right", "")                 # two like marks group thousands
    for option in KEYS["choice"]["options"]:
        made["choice", option["id"]] = ("right", "") if option["right"] else ("mistake", option["mistake"])
    for typed in ("", "o2", "O2222222", "4.25", "o2222222 ", "__proto__"):
        made["choice", typed] = ("empty", "")
    return [{"key": name, "typed": typed, "state": state, "mistake": mistake}
            for (name, typed), (state, mistake) in made.items()]


def content() -> dict[str, Any]:
    return {"words": dict(WORDS), "keys": KEYS, "cases": cases()}


def text_of_file() -> str:
    return json.dumps(content(), ensure_ascii=True, indent=0) + "\n"


@pytest.fixture(scope="module")
def shared() -> dict[str, Any]:
    return json.loads(FILE.read_text("utf-8"))


def marks_in_python(shared: dict[str, Any]) -> list[dict[str, Any]]:
    keys = {name: key_from_data(data) for name, data in shared["keys"].items()}
    return [{**vars(mark), "mistakes": list(mark.mistakes)} for mark in
            (marked(keys[case["key"]], case["typed"]) for case in shared["cases"])]


def test_file__holds_the_cases_made_here() -> None:
    assert FILE.read_text("utf-8") == text_of_file(), "run: python tests/test_quiz_cases.py"


def test_file__holds_enough(shared: dict[str, Any]) -> None:
    assert len(shared["cases"]) >= 300
    assert {case["state"] for case in shared["cases"]} == {"right", "wrong", "mistake", "not-a-number", "unit", "empty"}


def test_python_marker__every_case(shared: dict[str, Any]) -> None:
    for case, mark in zip(shared["cases"], marks_in_python(shared)):
        assert (mark["state"], mark["mistake"]) == (case["state"], case["mistake"]), case
        assert mark["points"] == (1 if case["state"] == "right" else 0) and mark["out_of"] == 1
        assert mark["feedback"]


_RUN = """
const [script, file] = process.argv.slice(1), fs = require("fs");
require("vm").runInThisContext(fs.readFileSync(script, "utf8"));
const shared = JSON.parse(fs.readFileSync(file, "utf8"));
console.log(JSON.stringify(shared.cases.map(c => firstwayQuiz.marked(shared.keys[c.key], c.typed, shared.words))));
"""


@pytest.mark.skipif(shutil.which("node") is None, reason="node is not installed: apt-get install nodejs")
def test_script_in_node__marks_like_python(shared: dict[str, Any]) -> None:
    ran = subprocess.run(["node", "-e", _RUN, str(SCRIPT), str(FILE)], capture_output=True, text=True, timeout=60, check=True)
    compare(shared, json.loads(ran.stdout))


def test_script_in_browser__marks_like_python(shared: dict[str, Any], offline_page: Any, tmp_path: Path) -> None:
    page_file = tmp_path / "page.html"
    page_file.write_text("<!doctype html><title>Marks</title><script>" + SCRIPT.read_text("utf-8") + "</script>", "utf-8")
    page = offline_page.show(page_file)
    marks = page.evaluate("text => { const shared = JSON.parse(text);"
                          " return shared.cases.map(c => firstwayQuiz.marked(shared.keys[c.key], c.typed, shared.words)); }",
                          FILE.read_text("utf-8"))
    compare(shared, marks)
    assert offline_page.troubles == []


def compare(shared: dict[str, Any], marks: list[dict[str, Any]]) -> None:
    expected = marks_in_python(shared)
    assert len(marks) == len(expected)
    for case, mine, theirs in zip(shared["cases"], expected, marks):
        assert mine == theirs, case


if __name__ == "__main__":
    FILE.write_text(text_of_file(), "utf-8")
    print(f"{len(cases())} cases")
