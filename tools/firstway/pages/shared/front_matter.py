"""Pages: what a chapter says of itself at its head, between two lines of three hyphens."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from firstway.files.yaml_reader import Entries, Items, Text, data_from_yaml
from firstway.problems import Problem

KEYS = ("title", "description", "chapter", "first", "place")


@dataclass(frozen=True)
class FrontMatter:
    """`chapter` is an id of quiz/outcomes.yaml, or "" for a page that is no chapter; `place` orders
    the pages of a folder; `lines` say where each key stands.
    """

    title: str = ""
    description: str = ""
    chapter: str = ""
    first: tuple[str, ...] = ()
    place: str = ""
    lines: Mapping[str, int] = field(default_factory=dict)


def parted(text: str) -> tuple[str, str]:
    """The head and the rest; the rest keeps its lines, the head is blank lines in it."""
    lines = text.split("\n")
    if lines[0].strip() != "---":
        return "", text
    end = next((place for place, line in enumerate(lines[1:], 1) if line.strip() == "---"), 0)
    return (
        ("\n".join(["", *lines[1:end]]), "\n".join([""] * (end + 1) + lines[end + 1 :]))
        if end
        else ("", text)
    )


def front_matter(text: str, file: str) -> tuple[FrontMatter, list[Problem]]:
    """The head of a page, and what is wrong with it."""
    head, _ = parted(text)
    data, problems = data_from_yaml(head, file) if head.strip() else (None, [])
    if not isinstance(data, Entries):
        return FrontMatter(), list(problems)
    problems = [
        *problems,
        *(
            Problem(
                file,
                line,
                f"unknown key '{key}' in the head of a page",
                f"known are: {', '.join(KEYS)}",
            )
            for key, line in data.key_lines.items()
            if key not in KEYS
        ),
    ]
    first = data.values.get("first")
    names = (
        tuple(item.text for item in first if isinstance(item, Text))
        if isinstance(first, Items)
        else ()
    )
    if first is not None and (not isinstance(first, Items) or len(names) != len(first.values)):
        problems = [
            *problems,
            Problem(
                file,
                data.key_lines["first"],
                "'first' is a list of chapter ids",
                "write first: [own-board], or first: []",
            ),
        ]
    return FrontMatter(
        _word(data, "title"),
        _word(data, "description"),
        _word(data, "chapter"),
        names,
        _word(data, "place"),
        dict(data.key_lines),
    ), list(problems)


def _word(data: Entries, key: str) -> str:
    node = data.values.get(key)
    return node.text.strip() if isinstance(node, Text) else ""
