"""A project whose every text is hostile: each text field of each kind of file, found by trying it,
holds mark-up and script.

A field is a text field where the reader takes the payload in place of what stands there. What is
only refused further on (a name that another file refers to) is put back, line by line, until the
project can be built.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import yaml

from firstway.model.mistakes import mistakes_from_yaml
from firstway.model.reading import installation_from_yaml
from firstway.pages.chapters.reading_length import MOST_WORDS, prose_words
from firstway.pages.gathering import gathered
from firstway.pages.shared.glossary import glossary_from_yaml
from firstway.problems import Problem, Problems
from firstway.quiz.bank.question import outcomes_from_yaml
from firstway.quiz.paper.recipe import recipe_from_yaml
from firstway.quiz.questions import questions_from_yaml

USED = ("content", "diagrams", "quiz", "mkdocs.yml")

# Ends text, a double and a single quoted attribute, a script, a comment and a CDATA section; a tag
# written as references comes to life where something is unescaped once too often; then Markdown's
# links and pictures, Jinja's braces, our own marks, a spreadsheet's formula. TAG and HACKED are
# what the tests look for.
TAG, HACKED = "hostile-tag", "hacked"
PAYLOADS = (
    (
        f"=x <img src=x onerror={HACKED}()><{TAG}>\"'><{TAG}"
        f" onclick={HACKED}()>&lt;{TAG}&gt;&#60;{TAG}&#62;]]>--></style></title></script><script>"
        f"{HACKED}()</script>"
        f" [a](javascript:{HACKED}()) ![b](c.png) `{{{{ {HACKED}() }}}}` {{root}} {{caution: work}}"
        " <!--part:caution--> | *x*"
    ),
    f"<img src=x onerror={HACKED}()><{TAG}>\"'&lt;{TAG}&gt;",
    f"\"'><{TAG}>",
    f"<{TAG}>",
)
# Names that other files refer to, or words in which the author writes more than text: put there, a
# payload breaks the project instead of being printed. Each is refused with its line, or only looked
# up; the campaign of changed files tries them.
NAMES = re.compile(
    r"\.((term|also\[\]|questions\[\]|only\[\]|outcome|chapter|size_awg|"
    r"standard|step|of|symbol|drawing\.\w+)$|"
    r"(wiring|keys|order|found_by|shown_by|shows|applies|vary)\b)"
)
ROOM_FOR_PAYLOADS = 20
"""Words of prose that a title shown in a sentence may bring."""
Reader = Callable[[str], list[Problem]]


def readers(root: Path) -> Iterator[tuple[list[Path], Reader]]:
    """The files of each kind, and what reads one of them."""

    def of(pattern: str) -> list[Path]:
        return sorted(path for path in root.glob(pattern) if path.name != "mistakes.yaml")

    yield of("diagrams/*.yaml"), lambda text: installation_from_yaml(text, "x.yaml", "x")[1]
    yield of("quiz/bank/*.yaml"), lambda text: questions_from_yaml(text, "x.yaml")[1]
    yield (
        [*of("quiz/papers/*.yaml"), *of("quiz/classes/*.yaml")],
        lambda text: recipe_from_yaml(text, "x.yaml")[1],
    )
    yield [root / "diagrams/mistakes.yaml"], lambda text: mistakes_from_yaml(text, "x.yaml")[1]
    yield [root / "quiz/outcomes.yaml"], lambda text: outcomes_from_yaml(text, "x.yaml")[1]
    yield [root / "content/glossary.yaml"], lambda text: glossary_from_yaml(text, "x.yaml")[1]


def made_hostile(root: Path, copy: Path) -> dict[str, int]:
    """Copy the project and make every text in it hostile; how many fields of which file hold a
    payload.
    """
    for name in USED:
        (shutil.copytree if (root / name).is_dir() else shutil.copy)(root / name, copy / name)
    theme = Path("tools/firstway/site/theme")
    shutil.copytree(root / theme, copy / theme)
    good = {path: path.read_text(encoding="utf-8") for files, _ in readers(copy) for path in files}
    for files, read in readers(copy):
        known: dict[str, str | None] = {}
        for path in files:
            path.write_text(_hostile_text(good[path], read, known), encoding="utf-8")
    _hostile_chapters(copy)
    _hostile_tables(copy)
    _put_back(copy, good)
    return {
        path.relative_to(copy).as_posix(): path.read_text(encoding="utf-8").count(TAG)
        for path in good
    }


def scalars(node: yaml.Node | None, where: str = "") -> Iterator[tuple[str, yaml.ScalarNode]]:
    """Every value of a file with its kind of place: keys, and [] for any item of a list."""
    if isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            yield from scalars(value, f"{where}.{key.value}")
    elif isinstance(node, yaml.SequenceNode):
        for item in node.value:
            yield from scalars(item, f"{where}[]")
    elif isinstance(node, yaml.ScalarNode):
        yield where, node


def _quoted(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"


def _hostile_text(text: str, read: Reader, known: dict[str, str | None]) -> str:
    """The file with the longest payload that its reader takes in each kind of place; tried once for
    each kind.
    """
    before = len(read(text))
    for where, node in reversed(list(scalars(yaml.compose(text)))):
        start, end = node.start_mark.index, node.end_mark.index
        tail = "\n" if node.style in ("|", ">") else ""

        def with_payload(payload: str, start: int = start, end: int = end, tail: str = tail) -> str:
            return text[:start] + _quoted(payload) + tail + text[end:]

        if NAMES.search(where):
            continue
        if where not in known:
            known[where] = next(
                (each for each in PAYLOADS if len(read(with_payload(each))) <= before), None
            )
        payload = known[where]
        if payload is not None:
            text = with_payload(
                payload.replace("=x", f"=x{start}", 1)
                if payload.startswith("=x")
                else f"{payload}{start}"
            )
    return text


def _hostile_chapters(copy: Path) -> None:
    """In chapters Markdown stands where text stands elsewhere: their heads, and what directives
    print as it was written.
    """
    for path in sorted((copy / "content").rglob("*.md")):
        text = path.read_text(encoding="utf-8")
        for key in ("title", "description"):
            text = re.sub(
                rf"^{key}:.*$",
                lambda found, key=key: f"{key}: {_quoted(PAYLOADS[0])}",
                text,
                count=1,
                flags=re.MULTILINE,
            )
        text = re.sub(
            r"\{term: ([^|{}]+)\}", lambda found: f"{{term: {found[1]} | {PAYLOADS[1]}}}", text
        )
        text = re.sub(
            r"\{table: ([a-z_0-9]+)\}", lambda found: f'{{table: {found[1]} title="<{TAG}>"}}', text
        )
        text = re.sub(
            r"\{stated: ([^|{}]+)\|",
            lambda found: f"{{stated: {found[1].strip()} {PAYLOADS[1]} |",
            text,
        )
        path.write_text(_short_enough(text), encoding="utf-8")


def _short_enough(text: str) -> str:
    """Without its last paragraphs, where payloads made the chapter longer than a chapter may be."""
    paragraphs = text.split("\n\n")
    plain = re.compile(r"[A-Z][^{}]*\Z")
    for place in reversed(range(len(paragraphs))):
        if prose_words("\n\n".join(paragraphs)) <= MOST_WORDS - ROOM_FOR_PAYLOADS:
            break
        if plain.match(paragraphs[place]) and TAG not in paragraphs[place]:
            del paragraphs[place]
    return "\n\n".join(paragraphs)


def _hostile_tables(copy: Path) -> None:
    names = ",".join('"' + payload.replace('"', '""') + '"' for payload in PAYLOADS[:1])
    for path in sorted((copy / "quiz/classes").glob("*.csv")):
        head, *rows = path.read_text(encoding="utf-8").splitlines()
        place = head.split(",").index("name")
        rows = [
            ",".join(
                names if column == place else cell for column, cell in enumerate(row.split(","))
            )
            for row in rows
        ]
        path.write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")


def _put_back(copy: Path, good: dict[Path, str]) -> None:
    """Take the payload out of every value that the rest of the project has a complaint about, until
    there is none.
    """
    for _ in range(12):
        try:
            problems = gathered(copy)[2]
        except Problems as found:
            problems = list(found.problems)
        if not problems:
            return
        before = {path: path.read_text(encoding="utf-8") for path in good}
        for name in {problem.file for problem in problems}:
            path = copy / name
            lines = {problem.line for problem in problems if problem.file == name}
            if path in good and lines != {0}:
                path.write_text(
                    _with_lines_back(path.read_text(encoding="utf-8"), good[path], lines),
                    encoding="utf-8",
                )
            elif path in good:
                path.write_text(good[path], encoding="utf-8")
        if before == {path: path.read_text(encoding="utf-8") for path in good}:
            break  # what is left follows from a payload somewhere else
    raise AssertionError(_shortened(problems))


def _shortened(problems: list[Problem]) -> str:
    return "\n".join(str(problem)[:200] for problem in problems[:20])


def _with_lines_back(text: str, good: str, lines: set[int]) -> str:
    """The values that begin in these lines as they were; where none does, those of the entry they
    stand in.
    """
    pairs = list(zip(scalars(yaml.compose(text)), scalars(yaml.compose(good))))
    wrong = [
        pair
        for pair in pairs
        if pair[0][1].start_mark.line + 1 in lines and pair[0][1].value != pair[1][1].value
    ]
    if not wrong:
        first, last = min(lines), max(lines)
        wrong = [
            pair
            for pair in pairs
            if first <= pair[0][1].start_mark.line + 1 <= last + 40
            and pair[0][1].value != pair[1][1].value
        ]
    for (_, mine), (_, theirs) in reversed(wrong):
        end = "\n" if mine.style in ("|", ">") else ""
        text = (
            text[: mine.start_mark.index]
            + _quoted(theirs.value)
            + end
            + text[mine.end_mark.index :]
        )
    return text
