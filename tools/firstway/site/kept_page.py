"""Site: one finished page with all that the rest of the guide asks of it, as plain data; and what a
page shows of the contents beside it.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from mkdocs.structure import StructureItem
from mkdocs.structure.files import File
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page

from firstway.frozen import dataclass


@dataclass(frozen=True)
class KeptPage:
    """`alone` is the page as one file, if it stands alone; `frame` is what a script puts into its
    head, the same in all; `entries` are its words for the search,
    `anchors` the ids it holds, `links` those it leads to: page, id and the link as written.
    """

    html: str
    alone: str
    frame: str
    entries: list[Any]
    anchors: list[str]
    links: list[list[str]]

    def as_data(self) -> dict[str, Any]:
        return dict(vars(self))

    def links_text(self) -> str:
        """Its links as one text, to be held for ten thousand pages."""
        return json.dumps(self.links)


def links_by_file(text: str, files: Mapping[str, File]) -> dict[File, dict[str, str]]:
    """The links of such a text as mkdocs holds them, to be looked up."""
    found: dict[File, dict[str, str]] = {}
    for path, anchor, written in json.loads(text):
        if path in files:
            found.setdefault(files[path], {})[anchor] = written
    return found


class IdsOfPage:
    """The ids that a page holds, to be asked for one: as sets those of ten thousand pages would
    fill a quarter of what a build may hold.
    """

    __slots__ = ("_text",)

    def __init__(self, ids: Iterable[str]) -> None:
        self._text = "\n".join(("", *ids, ""))  # an id holds no line break

    def __contains__(self, wanted: object) -> bool:
        return f"\n{wanted}\n" in self._text


def nav_words(nav: Navigation, page: Page) -> str:
    """All that the contents beside a page show: what is closed shows its title and leads to the
    first page in it.
    """
    around = set(map(id, page.ancestors))
    next_ones = [_one(each) for each in (page.previous_page, page.next_page, nav.homepage)]
    return repr((_shown(nav.items, around), next_ones, [_one(each) for each in page.ancestors]))


def _shown(items: Sequence[StructureItem], around: set[int]) -> list[Any]:
    return [
        (_one(item), _shown(item.children[: None if id(item) in around else 1], around))
        if item.children
        else _one(item)
        for item in items
    ]


def _one(item: Any) -> Any:
    return item and (item.title, getattr(item, "url", ""), getattr(item, "is_index", None))
