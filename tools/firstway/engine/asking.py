"""Engine: one question of a page, as text, to its answer, as text: all that the page may call.

A question is `{"ask": NAME, "text": the file, "file": its name, ...}`. An answer has `problems`
(line, message, hint) and what was asked for; where anything must be put right first, problems
alone.

What takes long is answered piece by piece: `goes_on` says how far it is, and `go-on` asks for the
next piece. So the page, which waits for each answer, can leave it for what is newer.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from time import monotonic
from typing import Any

from firstway.choosing.trials import Trials
from firstway.engine.form import as_yaml
from firstway.engine.judging import (
    PlainAnswer,
    done_of,
    drawn_view,
    figures_of,
    judged,
    printed,
    problem_data,
    read_data,
    readings_html,
    surge_html,
    working_html,
)
from firstway.files.disk import plain_name
from firstway.files.splicing import (
    with_copy,
    with_entry,
    with_value,
    without_entry,
    without_value,
)
from firstway.problems import Problem, visible

_Asked = Mapping[str, Any]
_Found = tuple[PlainAnswer, list[Problem]]


PIECE_S = 0.1
"""Seconds of a piece; its last value or line is tried to its end."""


def answered(question: str) -> str:
    """The answer to a question, both as JSON."""
    asked = json.loads(question)
    told, problems = _ANSWERS[asked["ask"]](asked)
    return json.dumps({**told, "problems": [problem_data(each) for each in problems]})


def _read(asked: _Asked) -> _Found:
    data, problems = read_data(asked["text"], asked["file"])
    return {"data": data}, problems


def _judge(asked: _Asked) -> _Found:
    done, problems = done_of(asked["text"], asked["file"])
    return (judged(done) if done else {}), list(problems)


def _figures(asked: _Asked) -> _Found:
    """Apart from the verdict, which asks for no surge."""
    done, problems = done_of(asked["text"], asked["file"])
    return ({"figures": figures_of(done)} if done else {}), list(problems)


def _working(asked: _Asked) -> _Found:
    done, problems = done_of(asked["text"], asked["file"])
    told = (
        {
            "working": working_html(done),
            "readings": readings_html(done),
            "surge": surge_html(done),
        }
        if done
        else {}
    )
    return told, list(problems)


def _draw(asked: _Asked) -> _Found:
    done, problems = done_of(asked["text"], asked["file"])
    return drawn_view(done, asked["view"]) if done else ({}, list(problems))


def _needs(asked: _Asked) -> _Found:
    return _begun(_needs_tried(asked))


def _needs_tried(asked: _Asked) -> Trials[_Found]:
    """What it would take that the finding named `ID:OF@PLACE` passes, in lines of words."""
    # like all that not every answer needs, loaded when it is asked for: a verdict does not wait
    from firstway.choosing.needs import needs_tried
    from firstway.rendering.choices import needs_text
    from firstway.rendering.spoken_keys import in_trade_words

    found, problems = yield from needs_tried(*_file_of(asked), asked["finding"])
    if found is None:
        return {}, list(problems)
    told = in_trade_words(needs_text(found), found.installation.rules, units=True)
    return {"told": told}, list(problems)


def _alternatives(asked: _Asked) -> _Found:
    return _begun(_alternatives_tried(asked))


def _alternatives_tried(asked: _Asked) -> Trials[_Found]:
    """Sizes, methods and devices of a circuit side by side: in lines of words, and as a table."""
    from firstway.choosing.alternatives import alternatives_tried
    from firstway.rendering.choices import alternatives_html, alternatives_text

    found, problems = yield from alternatives_tried(*_file_of(asked), asked["circuit"])
    if found is None:
        return {}, list(problems)
    return {"told": alternatives_text(found), "shown": alternatives_html(found)}, list(problems)


def _file_of(asked: _Asked) -> tuple[str, str, str]:
    """The text, the name of its file as shown, and the installation's."""
    file = visible(asked["file"])
    return asked["text"], file, plain_name(Path(file))


# What is being tried: of the newest question alone, for nobody waits for an older one.
_newest: list[Trials[_Found]] = []


def _begun(trials: Trials[_Found]) -> _Found:
    _newest[:] = [trials]
    return _go_on({})


def _go_on(_: _Asked) -> _Found:
    """One piece, with how far it is then; or what was found."""
    end = monotonic() + PIECE_S
    try:
        while True:
            said = next(_newest[0])
            if monotonic() > end:
                return {"goes_on": said}, []
    except StopIteration as found:
        told: _Found = found.value
        return told


def _papers(asked: _Asked) -> _Found:
    """Every sheet of the job as one page, to print."""
    from firstway.record.making import all_sheets

    done, problems = done_of(asked["text"], asked["file"])
    return ({"papers": all_sheets(done)} if done else {}), list(problems)


def _site_sheet(asked: _Asked) -> _Found:
    """The survey or the inspection: what it says, and as a page to print."""
    from firstway.record.making import site_page

    done, problems = done_of(asked["text"], asked["file"])
    if done is None:
        return {}, list(problems)
    body, page = site_page(done, asked["sheet"])
    return {"sheet": body, "page": page, "name": asked["sheet"]}, list(problems)


def _print(asked: _Asked) -> _Found:
    done, problems = done_of(asked["text"], asked["file"])
    return ({"printed": printed(done, asked["what"])} if done else {}), list(problems)


def _put(asked: _Asked) -> _Found:
    """`path` are its parts, `value` what was typed; nothing typed takes the key out."""
    text, file, path = asked["text"], visible(asked["file"]), asked["path"]
    if asked["value"].strip():
        written = as_yaml(asked["value"], asked["kind"])
        text, problems = with_value(text, path, written, file, begin=True)
    else:
        text, problems = without_value(text, path, file)
    return {"text": text}, problems


def _entry(asked: _Asked) -> _Found:
    """`path` leads to a list (`add`) or to an entry of one (`copy`, `take-out`)."""
    text, file, path, name = asked["text"], visible(asked["file"]), asked["path"], asked["name"]
    name = as_yaml(name, "text") if name.strip() else ""
    match asked["do"]:
        case "add":
            text, problems = with_entry(text, path, name, file)
        case "copy":
            text, problems = with_copy(text, path, name, file)
        case _:
            text, problems = without_entry(text, path, file)
    return {"text": text}, problems


_ANSWERS: Mapping[str, Callable[[_Asked], _Found]] = {
    "read": _read,
    "judge": _judge,
    "figures": _figures,
    "working": _working,
    "draw": _draw,
    "print": _print,
    "papers": _papers,
    "site-sheet": _site_sheet,
    "needs": _needs,
    "alternatives": _alternatives,
    "go-on": _go_on,
    "put": _put,
    "entry": _entry,
}
