"""Engine: the text of an installation to what is said of it: problems, findings, working, tests."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Any

from firstway.checks.rule import AS_TOLD
from firstway.choosing.completing import Completed, completed
from firstway.files.disk import plain_name
from firstway.files.yaml_reader import Entries, Items, Node, Text, data_from_yaml
from firstway.model.reading import installation_from_yaml
from firstway.problems import Problem, visible
from firstway.rendering.citing import notes_of
from firstway.rendering.figures import json_text, shown
from firstway.rendering.findings import LEVEL_WORDS, findings_in_order, verdict_said
from firstway.rendering.html import Markup, counted, details_html
from firstway.rendering.readings import readings_parts
from firstway.rendering.report import as_data, findings_text
from firstway.rendering.spoken_keys import in_trade_words
from firstway.rendering.surge import surge_tables
from firstway.rendering.working import whole_working

PlainAnswer = dict[str, Any]


def problem_data(problem: Problem) -> PlainAnswer:
    """A problem without the name of its file, which the page knows."""
    return {
        "line": problem.line,
        "message": visible(problem.message),
        "hint": visible(problem.hint),
    }


@lru_cache(maxsize=2)  # the text that is shown, and the one before it
def done_of(text: str, file: str) -> tuple[Completed | None, tuple[Problem, ...]]:
    """The job of a text, or all that is wrong with it."""
    installation, problems = installation_from_yaml(text, visible(file), plain_name(Path(file)))
    if installation is None or problems:
        return None, tuple(problems)
    done, problems = completed(installation)
    return done, tuple(problems)


def read_data(text: str, file: str) -> tuple[Any, list[Problem]]:
    """What the text holds as plain data: every value as it is written."""
    data, problems = data_from_yaml(text, visible(file))
    return _plain(data), problems


def _plain(node: Node | None) -> Any:
    if isinstance(node, Entries):
        return {key: _plain(value) for key, value in node.values.items()}
    if isinstance(node, Items):
        return [_plain(value) for value in node]
    return node.text if isinstance(node, Text) else None


def judged(done: Completed) -> PlainAnswer:
    """Verdict and findings; what later states are compared with."""
    installation = done.installation
    return {
        "title": installation.title,
        "verdict": verdict_said(done.findings, installation),
        "words": LEVEL_WORDS,
        "counts": {level: sum(each.level == level for each in done.findings) for level in AS_TOLD},
        "findings": findings_in_order(done.findings, installation, notes_of(done)),
        "said": [
            [
                each.level,
                each.id,
                each.of,
                each.place,
                in_trade_words(each.message, installation.rules),
            ]
            for each in done.findings
        ],
    }


def figures_of(done: Completed) -> PlainAnswer:
    """Every figure of the working by its identity: its title, and its value in words."""
    return {step.identity: [f"{step.title}, {step.of}", shown(step)] for step in done.case.workings}


def working_html(done: Completed) -> list[Markup]:
    """Every step, folded by what it is about; each links to those it rests on. A fold is a piece of
    its own: a page leaves those alone that a change left as they were.
    """
    parts, sources = whole_working(
        done,
        lambda title, steps, body: details_html(
            f"{title}: {counted(len(steps), 'step')}", body, "part-of-working"
        ),
    )
    return [*parts, details_html("Sources", sources)]


def readings_html(done: Completed) -> Markup:
    """The tests in their order, what to expect folded away, and the readings of the file."""
    parts = readings_parts(done.case)
    return Markup().join([parts["fields"], parts["expected"], parts["beside"]])


def surge_html(done: Completed) -> Markup:
    """What a surge does at the vehicle, with the device of the board and without."""
    return surge_tables(done.case)


def drawn_view(done: Completed, view: str) -> tuple[PlainAnswer, list[Problem]]:
    """One of the four drawings, as the command `draw` makes it: for a page, and as a file."""
    # what draws is half of all that is loaded, and a verdict does not wait for it
    from firstway.drawing.asked_view import AskedView, asked_view
    from firstway.drawing.svg import standalone

    drawn, problems = asked_view(done, AskedView(view), ())
    if drawn is None:
        return {}, problems
    told = {"svg": drawn.svg, "title": drawn.title, "key": list(drawn.key), "view": view}
    return {**told, "printed": standalone(drawn)}, problems


def printed(done: Completed, what: str) -> str:
    """What the commands print: `work` or `check` with `--json`, the findings, or a drawing."""
    if what in ("work", "check"):
        return json_text(as_data(done), ensure_ascii=False, indent=1) + "\n"
    if what == "findings":
        return findings_text(done)
    told, problems = drawn_view(done, what)
    return str(told["printed"]) if told else "\n".join(map(str, problems))
