"""One file of cases, two markers: `quiz_cases.json` runs through Python, node and the browser's
page script.

What is expected is known by construction: a number is written out in many hands, and its value, not
a parser, decides; a choice, an order, a match and a working are counted here by sets and plain
arithmetic, apart from the markers. `python tests/quiz/test_quiz_cases.py` writes the file anew
after a change below.
"""

from __future__ import annotations

import inspect
import json
import shutil
import subprocess
import sys
from collections.abc import Iterator
from decimal import Decimal
from itertools import combinations, permutations, product
from pathlib import Path
from typing import Any

import pytest

HERE = Path(__file__).resolve().parents[1]
FILE = HERE / "quiz_cases.json"
if __name__ == "__main__":
    sys.path.insert(0, str(HERE.parent / "tools"))

from firstway.quiz.forms.answered import spellings  # noqa: E402
from firstway.quiz.forms.registry import (  # noqa: E402
    FORMS,
    data_of_key,
    key_from_data,
    marked,
    most_points,
)
from firstway.quiz.marking.marking import ASK_AGAIN, MARK_WORDS  # noqa: E402
from firstway.quiz.paper.scripts import practice_script  # noqa: E402

THIN, NO_BREAK, NARROW, FIGURE_SPACE = "\u2009", "\u00a0", "\u202f", "\u2007"


def number_key(
    unit: str, low: float, high: float, wrong: tuple[tuple[str, float, float], ...] = ()
) -> dict[str, Any]:
    return {
        "kind": "number",
        "unit": unit,
        "spellings": list(spellings(unit)),
        "low": low,
        "high": high,
        "answer": f"<{low} {unit}>",
        "why": "Because {of} <b>this</b>.",
        "wrong": [
            {"mistake": name, "low": at, "high": to, "feedback": f"Look at {name} again."}
            for name, at, to in wrong
        ],
    }


def part_key(
    unit: str,
    low: float,
    high: float,
    half: float,
    *wrong: tuple[str, float, float],
    formula: list[float | str] | None = None,
) -> dict[str, Any]:
    part = number_key(unit, low, high, wrong)
    return {
        **{name: part[name] for name in ("unit", "spellings", "low", "high", "wrong")},
        "formula": formula or [],
        "half": half,
        "slack_percent": 1.0,
    }


KEYS: dict[str, dict[str, Any]] = {
    "drop": number_key(
        "V", 4.20207, 4.29713, (("device rating", 5.2407, 5.3613), ("twice", 8.3607, 8.5413))
    ),
    "limit": number_key(
        "ohm", 1.07647, 1.10853, (("no factor", 1.13347, 1.16653), ("reading", 0.86477, 0.88323))
    ),
    "rod": number_key(
        "ohm",
        1649.497,
        1683.843,
        (("milliampere", 1.64497, 1.68843), ("full voltage", 7589.497, 7743.843)),
    ),
    "below-zero": number_key("C", -25.3053, -24.6947, (("sign lost", 24.6947, 25.3053),)),
    "small": number_key("m", 0.00094, 0.00106, (("thousand", 0.94997, 1.05003),)),
    "plain": number_key("", 4.94997, 5.05003),
    "choice": {
        "kind": "one-answer",
        "answer": "the second",
        "why": "It is so.",
        "options": [
            {
                "id": "o1111111",
                "right": False,
                "mistake": "first mistake",
                "feedback": "Not the first.",
            },
            {"id": "o2222222", "right": True, "mistake": "", "feedback": ""},
            {
                "id": "o3333333",
                "right": False,
                "mistake": "third mistake",
                "feedback": "Not the third.",
            },
        ],
    },
    "power": number_key(
        "kW", 7.2807, 7.4393, (("three phases", 21.9497, 22.2103), ("watts", 7286.4967, 7433.5033))
    ),
    "share": number_key("percent", 1.81297, 1.88303, (("volts", 4.20207, 4.29713),)),
    "several": {
        "kind": "several-answers",
        "answer": "a; c; d",
        "why": "Three of them.",
        "options": [
            {
                "id": letter,
                "right": letter in "acd",
                "mistake": "" if letter in "acd" else f"mistake {letter}",
                "feedback": "" if letter in "acd" else f"Not {letter}, {{said}}.",
            }
            for letter in "abcdef"
        ],
    },
    "order": {
        "kind": "order",
        "answer": "1. one; 2. two; 3. three; 4. four",
        "why": "Earth first.",
        "steps": [
            {"id": "c", "text": "one", "because": "it is <first>"},
            {"id": "a", "text": "two", "because": ""},
            {"id": "d", "text": "three", "because": "{place} follows"},
            {"id": "b", "text": "four", "because": ""},
        ],
    },
    "match": {
        "kind": "match",
        "answer": "x: b; y: d; z: b",
        "why": "Each has its own.",
        "items": ["a", "b", "c", "d"],
        "rows": [
            {
                "id": "1",
                "item": "b",
                "mistake": "row one taken for another",
                "feedback": "Look at one.",
            },
            {
                "id": "2",
                "item": "d",
                "mistake": "row two taken for another",
                "feedback": "Look at two.",
            },
            {
                "id": "3",
                "item": "b",
                "mistake": "row two taken for another",
                "feedback": "Look at three.",
            },
        ],
    },
    "working": {
        "kind": "working",
        "answer": "1: 32.00 A, 2: 45.71 A, 3: 2.86 V",
        "why": "In three steps.",
        "parts": [
            part_key("A", 31.67497, 32.32503, 0.005, ("device rating", 39.59497, 40.40503)),
            part_key(
                "A",
                45.24797,
                46.18003,
                0.005,
                ("factor the other way", 22.17097, 22.62903),
                formula=["p1", 0.7, "/"],
            ),
            part_key(
                "V",
                2.82137,
                2.89663,
                0.005,
                ("metres forgotten", 0.15297, 0.16603),
                formula=["p2", "p1", "-", 0.2083, "*", "p1", 0.0, "*", "+"],
            ),
        ],
    },
    "working-odd": {
        "kind": "working",
        "answer": "1: 4, 2: 2, 3: 3",
        "why": "All operators.",
        "parts": [
            part_key("", 3.957, 4.043, 0.0, ("nine", 8.9, 9.1)),
            part_key(
                "",
                1.977,
                2.023,
                0.0,
                ("minus two", -2.02, -1.98),
                formula=["p1", "sqrt", 0.0, "ln", 0.0, "*", "+"],
            ),
            part_key(
                "V",
                2.967,
                3.033,
                0.0,
                ("six", 5.9, 6.1),
                formula=[
                    "p2",
                    100.0,
                    "min",
                    "p1",
                    "neg",
                    "max",
                    "p2",
                    0.0,
                    "exp",
                    "**",
                    "/",
                    2.0,
                    "+",
                ],
            ),
        ],
    },
}


def follow_on(name: str, place: int, typed: list[float | None]) -> float | None:
    """What the formulas above say, written out by hand; None where they have no value."""
    try:
        if name == "working" and place:
            return typed[0] / 0.7 if place == 1 else (typed[1] - typed[0]) * 0.2083
        if place == 2:
            return max(min(typed[1], 100.0), -typed[0]) / typed[1] + 2
        return (
            None  # the second box of the odd one holds ln(0), which has no value: nothing follows
        )
    except (TypeError, ZeroDivisionError):
        return None


VALUES = {
    "drop": (
        "4.25",
        "4.2496",
        "4.3",
        "4.2",
        "4.21",
        "4.29",
        "5.3",
        "8.45",
        "425",
        "0.00425",
        "42.5",
        "-4.25",
    ),
    "limit": ("1.09", "1.0925", "1.1", "1.15", "0.874", "0.87", "0.546", "10.9", "2"),
    "rod": (
        "1667",
        "1666.67",
        "1650",
        "1649",
        "7667",
        "1.667",
        "1700",
        "16667",
        "1683.84",
        "1683.85",
    ),
    "below-zero": ("-25", "-24.7", "25", "-26", "0", "-25.31"),
    "small": ("0.001", "0.00105", "1", "0.002", "0.01"),
    "plain": ("5", "4.95", "5.06", "-5"),
    "power": (
        "7.36",
        "7.4",
        "7.3",
        "7.44",
        "22",
        "22.08",
        "7360",
        "7.28",
        "0.00736",
        "73.6",
        "7433.5",
    ),
    "share": ("1.85", "1.8", "1.84", "1.848", "4.25", "0.0185", "185", "1.9"),
}
NONSENSE = (
    "abc",
    "V",
    "--5",
    "+-5",
    "5-6",
    "1/2",
    "4..25",
    "4.2.5",
    "4,2,5",
    "1e",
    "e5",
    "1.2e3.4",
    "NaN",
    "nan",
    "Infinity",
    "-inf",
    "0x1F",
    "#4.25",
    "<b>4.25</b>",
    "=4.25",
    "=1+1",
    "'4.25",
    "about 4.25",
    ".",
    ",",
    "-",
    "+",
    "-.",
    "1e999",
    "-1e400",
    "9e9999",
    "٤٫٢٥",
    "4 25",
    "12 34",
    "1 2345",
    "4,25,",
    "4.25.",
    "(4.25)",
    "4.25 (V)",
    "4:25",
    "½",
    "四",
    "\ud83d\ude00",
    "null",
    "undefined",
    "__proto__",
    "constructor",
    "{answer}",
    "4.25 + 0",
    "4.25 * 1",
    "4.25 < 5",
)
# These begin with a number; what follows is no unit.
WITH_STRANGE_UNIT = {"0x1F", "1e", "1.2e3.4", "9e9999"}
EMPTY = ("", " ", "   ", THIN, NO_BREAK * 3, "\t\n", "\u200b")
WRONG_UNITS = {
    "drop": ("mV", "kV", "A", "V/m", "volts!", "V V", "M"),
    "limit": ("V", "kohm", "m", "ohm/km"),
    "rod": ("A", "kohm", "mohm"),
    "plain": ("V", "x", "%"),
    "power": ("kWh", "kVA", "MW", "kw h"),
    "share": ("V", "% V"),
}


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


Expected = tuple[str, tuple[str, ...], int]
"""State, mistakes named, points."""


def cases() -> list[dict[str, Any]]:
    """Every case: key, what was typed, the state, the mistakes and the points it must give."""
    made: dict[tuple[str, str], Expected] = {}
    for (name, typed), (state, mistake) in number_cases().items():
        made[name, typed] = (state, (mistake,) if mistake else (), int(state == "right"))
    for option in KEYS["choice"]["options"]:
        made["choice", option["id"]] = (
            ("right", (), 1) if option["right"] else ("mistake", (option["mistake"],), 0)
        )
    for typed in ("", "o2", "O2222222", "4.25", "o2222222 ", "__proto__", "constructor"):
        made["choice", typed] = ("empty", (), 0)
    for maker in (several_cases, order_cases, match_cases, working_cases):
        made.update(maker())
    return [
        {
            "key": name,
            "typed": typed,
            "state": state,
            "mistake": mistakes[0] if mistakes else "",
            "mistakes": list(mistakes),
            "points": points,
        }
        for (name, typed), (state, mistakes, points) in made.items()
    ]


def number_cases() -> dict[tuple[str, str], tuple[str, str]]:
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
    made["drop", "9" * 500] = ("wrong", "")  # cut, still a number, far too large
    made["drop", "4.25" + " " * 500 + "x"] = ("right", "")  # cut before the x
    made["drop", "x" * 2_000] = ("not-a-number", "")
    made["rod", "1,667"] = ("mistake", "milliampere")  # a lone comma is the decimal mark
    made["rod", "1,667.0"] = ("right", "")
    made["rod", "0,001,667"] = ("right", "")  # two like marks group thousands
    return made


NO_LIST = (
    "",
    " ",
    "z",
    "A",
    "a,b",
    "a;b",
    "ab",
    "a a",
    "=",
    "1=",
    "=b",
    "1=b=c",
    "1= b",
    "4=a",
    "1=e",
    "1=b 1=b",
    "<b>a</b>",
    "__proto__",
    "constructor=b",
    "1=constructor",
    "{said}",
    "a\tb",
    "\u00e4",
)


def several_cases() -> dict[tuple[str, str], Expected]:
    """Every set of the six options, some in another order."""
    right = {"a", "c", "d"}
    made: dict[tuple[str, str], Expected] = {
        ("several", typed): ("empty", (), 0) for typed in NO_LIST
    }
    for size in range(1, 7):
        for chosen in combinations("abcdef", size):
            wrong = [letter for letter in chosen if letter not in right]
            points = max(0, len(chosen) - 2 * len(wrong))
            state = (
                "right"
                if set(chosen) == right
                else "part"
                if points
                else "mistake"
                if wrong
                else "wrong"
            )
            for typed in (
                " ".join(chosen),
                " ".join(reversed(chosen)),
                "  " + "  ".join(chosen) + " ",
            ):
                made["several", typed] = (
                    state,
                    tuple(f"mistake {letter}" for letter in wrong),
                    points,
                )
    return made


def order_cases() -> dict[tuple[str, str], Expected]:
    """Every order of the four steps; anything else is no answer."""
    made: dict[tuple[str, str], Expected] = {
        ("order", typed): ("empty", (), 0)
        for typed in (*NO_LIST, "c a d", "c a d b b", "c a d e", "c, a, d, b", "c a d b e")
    }
    for order in permutations("abcd"):
        right = "".join(order) == "cadb"
        for typed in (" ".join(order), "  ".join(order) + " "):
            made["order", typed] = ("right", (), 1) if right else ("wrong", (), 0)
    return made


def match_cases() -> dict[tuple[str, str], Expected]:
    """Every partner, or none, for each of the three rows."""
    made: dict[tuple[str, str], Expected] = {
        ("match", typed): ("empty", (), 0) for typed in NO_LIST
    }
    rows = [(row["item"], row["mistake"]) for row in KEYS["match"]["rows"]]
    for chosen in product(("", "a", "b", "c", "d"), repeat=3):
        pairs = [f"{place}={item}" for place, item in enumerate(chosen, 1) if item]
        if not pairs:
            continue
        points = sum(item == right for item, (right, _) in zip(chosen, rows))
        named = tuple(
            dict.fromkeys(
                mistake for item, (right, mistake) in zip(chosen, rows) if item and item != right
            )
        )
        state = "right" if points == 3 else "part" if points else "mistake" if named else "wrong"
        made["match", " ".join(pairs)] = (state, () if points == 3 else named, points)
        made["match", " ".join(reversed(pairs))] = made["match", " ".join(pairs)]
    return made


BOXES = {
    "working": (
        ("32", " 32,0 A", "40", "16", "\u221216", "32 V", "abc", ""),
        ("45.71", "45,7 A", "57.14", "22.857", "22.625", "22.4", "-22.86", "9e99", "x", ""),
        ("2.86", "2,86 V", "3.57", "1.428", "0.16", "1 A", ""),
    ),
    "working-odd": (
        ("4", "9", "0", "-4", ""),
        ("2", "3", "0", "-2", ""),
        ("3", "3,0 V", "2", "6", "5", "1", ""),
    ),
}
SHAPES = (" ; ", ";", "; ")


def working_cases() -> dict[tuple[str, str], Expected]:
    """Every way to fill the boxes from the lists above; too few boxes are empty ones."""
    made: dict[tuple[str, str], Expected] = {}
    for name, lists in BOXES.items():
        for turn, boxes in enumerate(product(*lists)):
            made[name, SHAPES[turn % 3].join(boxes)] = expected_working(name, list(boxes))
        for short in ("32", "32;", ";", ";;", " ; ; ", "", "32;45.71", "4;2"):
            made[name, short] = expected_working(name, [*short.split(";"), "", ""][:3])
        made[name, "4;2;3;99"] = expected_working(
            name, ["4", "2", "3"]
        )  # what stands behind the last box is not read
    return made


def expected_working(name: str, boxes: list[str]) -> Expected:
    """Points, state and mistakes of three boxes."""
    parts = KEYS[name]["parts"]
    values: list[float | None] = []
    for box, part in zip(boxes, parts):
        number = box.strip().replace(",", ".").replace("\u2212", "-").partition(" ")
        try:
            values.append(float(number[0]) if number[0] else None)
        except ValueError:
            return "not-a-number", (), 0
        if number[2] and number[2] not in part["spellings"]:
            return "unit", (), 0
    if all(value is None for value in values):
        return "empty", (), 0
    points, named = 0, []
    for place, (value, part) in enumerate(zip(values, parts)):
        if value is None:
            continue
        state, mistake = state_of(part, Decimal(repr(value)))
        led = follow_on(name, place, values[:place])
        if (
            state == "right"
            or led is not None
            and abs(value - led) <= part["half"] + abs(led) * 0.01
        ):
            points += 1
        elif mistake:
            named.append(mistake)
    named = list(dict.fromkeys(named))
    state = "right" if points == 3 else "part" if points else "mistake" if named else "wrong"
    return state, tuple(named), points


def content() -> dict[str, Any]:
    return {"words": dict(MARK_WORDS), "keys": KEYS, "cases": cases()}


def text_of_file() -> str:
    made = content()
    head = json.dumps({"words": made["words"], "keys": made["keys"]}, ensure_ascii=True, indent=0)
    lines = ",\n".join(json.dumps(case, ensure_ascii=True) for case in made["cases"])
    return f'{head[:-2]},\n"cases": [\n{lines}\n]\n}}\n'


@pytest.fixture(scope="module")
def shared() -> dict[str, Any]:
    return json.loads(FILE.read_text("utf-8"))


def marks_in_python(shared: dict[str, Any]) -> list[dict[str, Any]]:
    keys = {name: key_from_data(data) for name, data in shared["keys"].items()}
    return [
        {**vars(mark), "mistakes": list(mark.mistakes)}
        for mark in (marked(keys[case["key"]], case["typed"]) for case in shared["cases"])
    ]


def test_file__holds_the_cases_made_here() -> None:
    assert FILE.read_text("utf-8") == text_of_file(), "run: python tests/quiz/test_quiz_cases.py"


def test_file__holds_enough(shared: dict[str, Any]) -> None:
    assert len(shared["cases"]) >= 2000
    assert {case["state"] for case in shared["cases"]} == {
        "right",
        "part",
        "wrong",
        "mistake",
        "not-a-number",
        "unit",
        "empty",
    }
    assert {key["kind"] for key in shared["keys"].values()} == set(FORMS)
    for name in shared["keys"]:
        assert sum(case["key"] == name for case in shared["cases"]) >= 5, name


def test_every_form__has_a_script_beside_its_marks() -> None:
    for name, form in FORMS.items():
        script = Path(inspect.getfile(form.key)).with_name("marked.js")
        assert script.is_file(), f"{name}: write {script.parent.name}/marked.js"
        assert f'forms["{name}"]' in script.read_text("utf-8"), f"{name}: name it in its script"


def test_python_marker__every_case(shared: dict[str, Any]) -> None:
    for case, mark in zip(shared["cases"], marks_in_python(shared)):
        assert {name: mark[name] for name in ("state", "mistake", "mistakes", "points")} == {
            name: case[name] for name in ("state", "mistake", "mistakes", "points")
        }, (case, mark)
        assert mark["out_of"] == most_points(key_from_data(shared["keys"][case["key"]]))
        assert mark["feedback"]


def test_python_marker__tells_no_answer_before_it_is_marked(shared: dict[str, Any]) -> None:
    """A state that asks for another try holds neither the answer nor the reason, and every other
    one the reason.
    """
    for case, mark in zip(shared["cases"], marks_in_python(shared)):
        key = shared["keys"][case["key"]]
        asks = mark["state"] in ASK_AGAIN
        assert (key["why"] in mark["feedback"]) != asks, case
        assert not (asks and key["answer"] in mark["feedback"]), case


def test_key_from_data__reads_what_data_of_key_writes(shared: dict[str, Any]) -> None:
    for data in shared["keys"].values():
        assert json.loads(json.dumps(data_of_key(key_from_data(data)))) == data


_RUN = """
const [script, file] = process.argv.slice(1), fs = require("fs");
require("vm").runInThisContext(script);
const shared = JSON.parse(fs.readFileSync(file, "utf8"));
console.log(JSON.stringify(shared.cases.map(c => firstwayQuiz.marked(shared.keys[c.key], c.typed, shared.words))));
"""


@pytest.mark.skipif(
    shutil.which("node") is None, reason="node is not installed: apt-get install nodejs"
)
def test_script_in_node__marks_like_python(shared: dict[str, Any]) -> None:
    ran = subprocess.run(
        ["node", "-e", _RUN, practice_script(), str(FILE)],
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    compare(shared, json.loads(ran.stdout))


def test_script_in_browser__marks_like_python(
    shared: dict[str, Any], offline_page: Any, tmp_path: Path
) -> None:
    page_file = tmp_path / "page.html"
    page_file.write_text(
        "<!doctype html><title>Marks</title><script>" + practice_script() + "</script>",
        "utf-8",
    )
    page = offline_page.show(page_file)
    marks = page.evaluate(
        "text => { const shared = JSON.parse(text); return shared.cases.map(c =>"
        " firstwayQuiz.marked(shared.keys[c.key], c.typed, shared.words)); }",
        FILE.read_text("utf-8"),
    )
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
