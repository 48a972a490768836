"""Quiz: the drawings of one page. A drawing that several questions look at is written once; ids never meet."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from html import escape
from typing import Protocol


class Picture(Protocol):
    """What the drawing room hands over; this room never imports it."""

    @property
    def svg(self) -> str: ...
    @property
    def alt(self) -> str: ...
    @property
    def id(self) -> str: ...
    @property
    def title(self) -> str: ...


_SPOT = '<g class="spot"'
_OPENING = re.compile(r"<svg\b[^>]*>")
_OWN = re.compile(r'\s(?:id|aria-labelledby|data-installation)="[^"]*"')
_WORDS = re.compile(r"<title\b[^>]*>.*?</title>\s*<desc\b[^>]*>.*?</desc>\s*", re.DOTALL)
_TITLE = re.compile(r"<title\b[^>]*>.*?</title>", re.DOTALL)
_REFERENCE = re.compile(r'(?:href="|url\()#([^")]*)')
_ID = re.compile(r'\sid="([^"]*)"')
_CLASS = re.compile(r'\sclass="[^"]*"')
_FALLBACK = re.compile(r"var\((--fw-[a-z]+),[^()]*\)")
_DATA = re.compile(r'\sdata-[a-z-]+="[^"]*"')


@dataclass
class PageDrawings:
    """The drawings written so far on one page; `prefix` keeps their ids apart from all else on it."""

    prefix: str
    written: dict[str, str] = field(default_factory=dict)

    def figure(self, drawing: Picture, variant: int | None = None) -> str:
        """The drawing in its frame: it scrolls sideways on a narrow screen, and the keyboard can reach it.

        `variant` marks a drawing that belongs to one set of figures; all but the first wait hidden.
        """
        of = "" if variant is None else f' data-variant="{variant}"' + (" hidden" if variant else "")
        return (f'<figure class="drawing quiz-drawing"{of}><div class="sheet" tabindex="0" role="group"'
                f' aria-label="{escape(drawing.title)}, drawing">{self.svg(drawing)}</div>'
                f"<figcaption>{escape(drawing.title)}</figcaption></figure>")

    def svg(self, drawing: Picture) -> str:
        """The drawing itself; where the same one stands higher up, a reference to it with the spots of its own."""
        opening = _OPENING.search(drawing.svg)
        if opening is None:
            return ""
        body = drawing.svg[opening.end():drawing.svg.rstrip().rfind("</svg>")]
        cut = body.find(_SPOT)
        body, spots = (body, "") if cut < 0 else (body[:cut], body[cut:])
        stem = re.sub(r"-drawing(?:-.*)?$", "", drawing.id)
        told = _without_names(_WORDS.sub("", body, count=1)).replace(f"{stem}-", "\0-")
        name = self.written.get(told)
        head = _OWN.sub("", opening.group(0))[:-1] + f' aria-label="{escape(drawing.alt)}">'
        if name is None:
            name = self.written[told] = f"{self.prefix}-d{len(self.written) + 1}"
            return f'{head}<g id="{name}">{told.replace(chr(0), name)}</g>{spots}</svg>'
        return f'{head}<use href="#{name}"/>{spots}</svg>'


def _without_names(body: str) -> str:
    """A drawing that is only looked at: the names of its groups, which say again what its texts say, are left out.

    What another part refers to keeps its id; classes stay where the drawing fades the stages to come. Colours come from
    the page, which holds every ink.
    """
    wanted = set(_REFERENCE.findall(body))
    body = _ID.sub(lambda found: found[0] if found[1] in wanted else "", _TITLE.sub("", body))
    body = body if "--s" in body else _CLASS.sub("", body)
    return _FALLBACK.sub(r"var(\1)", _DATA.sub("", body)).replace("\n", "")
