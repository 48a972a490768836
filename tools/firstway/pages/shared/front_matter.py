"""Pages: what a chapter says of itself at its head, between two lines of three hyphens."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field

from firstway.files.specs import Name, Names, Prose, count, key
from firstway.files.typed_reader import section_from_data
from firstway.files.yaml_reader import Entries, data_from_yaml
from firstway.frozen import dataclass
from firstway.problems import Problem

_LAST = 99


@dataclass(frozen=True)
class FrontMatter:
    """What a page says of itself; `lines` say where each key stands."""

    title: str = key(Prose(), "its title", "The cable")
    description: str = key(
        Prose(), "one sentence for lists of pages", "From the board to the post."
    )
    chapter: str = key(
        Name("small"), "an id of quiz/outcomes.yaml; a page without it is no chapter", "the-cable"
    )
    first: tuple[str, ...] = key(
        Names("small", may_be_empty=True), "the chapters that come first", "[own-board]"
    )
    place: int = key(count(), "its place among the pages of its folder", "3", absent=_LAST)
    jobs: tuple[str, ...] = key(
        Names("small", may_be_empty=True),
        "the jobs that show what a decision is about; their pages lead to it",
        "[marram]",
        absent=(),
    )
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
        return FrontMatter(), problems
    front, own = section_from_data(data, FrontMatter, file)
    return front, problems + own
