"""Quiz: the drawings of one page.

A drawing that several questions look at is written once; ids never meet.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import field
from functools import lru_cache
from typing import Protocol

from firstway.frozen import dataclass
from firstway.rendering.html import Markup, tag


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
    @property
    def key(self) -> Sequence[str]: ...


@dataclass(frozen=True)
class PlainPicture:
    """A drawing that was kept: nothing but what a page needs of it."""

    svg: str
    alt: str
    id: str
    title: str
    key: tuple[str, ...] = ()


_SPOT = '<g class="spot"'
_OPENING = re.compile(r"<svg\b[^>]*>")
_OWN = re.compile(r'\s(?:xmlns|id|aria-labelledby|data-installation)="[^"]*"')
_LEAST_WIDTH = re.compile(r" fw-least-\d+")  # a question's drawing fits its column
_WORDS = re.compile(r"<title\b[^>]*>.*?</title>\s*<desc\b[^>]*>.*?</desc>\s*", re.DOTALL)
_TITLE = re.compile(r"<title\b[^>]*>.*?</title>", re.DOTALL)
_REFERENCE = re.compile(r'(?:href="|url\()#([^")]*)')
_ID = re.compile(r'\sid="([^"]*)"')
_CLASS = re.compile(r'\sclass="([^"]*)"')
_NARROW = {"numbers", "on-paper"}
_FALLBACK = re.compile(r"var\((--fw-[a-z]+),[^()]*\)")
_DATA = re.compile(r'\sdata-[a-z-]+="[^"]*"')


@dataclass
class PageDrawings:
    """The drawings written so far on one page; `prefix` keeps their ids apart from all
    else on it.
    """

    prefix: str
    written: dict[str, str] = field(default_factory=dict)
    figures: int = 0

    def figure(self, drawing: Picture, variant: int | None = None) -> Markup:
        """The drawing in its frame. On a phone it is fitted to its column and can be opened over
        the whole window.

        What numbers say there stands in a list below. Opened, it stands once more by reference,
        without a script (the popover attribute of the HTML standard). `variant` marks a drawing
        that belongs to one set of figures; all but the first wait hidden.
        """
        self.figures += 1
        title, large = drawing.title, f"{self.prefix}-l{self.figures}"
        close = tag(
            "button", "Close", type="button", popovertarget=large, popovertargetaction="hide"
        )
        enlarge = tag("button", "Open large", type="button", class_="enlarge", popovertarget=large)
        sheet = tag(
            "div",
            self.svg(drawing),
            class_="sheet",
            tabindex=0,
            role="group",
            aria_label=f"{title}, drawing",
        )
        return tag(
            "figure",
            sheet,
            tag("ol", *(tag("li", words) for words in drawing.key), class_="zkey")
            if drawing.key
            else "",
            tag("div", close, self.again(drawing), class_="large", id=large, popover=True),
            tag("figcaption", title, " ", enlarge),
            class_="drawing quiz-drawing",
            data_variant=None if variant is None else str(variant),
            hidden=bool(variant),
        )

    def svg(self, drawing: Picture) -> Markup:
        """The drawing itself; where the same one stands higher up, a reference to it with the spots
        of its own.
        """
        parts = parts_of(drawing)
        if parts is None:
            return Markup()
        head, told, spots = parts
        known = told in self.written
        name = self.written.setdefault(told, f"{self.prefix}-d{len(self.written) + 1}")
        inside = Markup(told.replace("\0", name))
        body = tag("use", href=f"#{name}") if known else tag("g", inside, id=name)
        own = tag("g", Markup(spots), id=f"{self.prefix}-s{self.figures}") if spots else ""
        return Markup('{} aria-label="{}">{}{}</svg>').format(Markup(head), drawing.alt, body, own)

    def again(self, drawing: Picture) -> Markup:
        """The drawing last written, with its spots, by reference."""
        parts = parts_of(drawing)
        if parts is None:
            return Markup()
        head, told, spots = parts
        own = tag("use", href=f"#{self.prefix}-s{self.figures}") if spots else ""
        return Markup('{} aria-label="{}"><use href="#{}"/>{}</svg>').format(
            Markup(head), drawing.title, self.written[told], own
        )


def parts_of(drawing: Picture) -> tuple[str, str, str] | None:
    """The opening tag without its ids and its end, what is drawn with its own name open, and the
    lettered spots.
    """
    return _parts(drawing.svg, drawing.id)


@lru_cache(maxsize=1)  # asked twice for each drawing, one after the other
def _parts(svg: str, name: str) -> tuple[str, str, str] | None:
    opening = _OPENING.search(svg)
    if opening is None:
        return None
    body = svg[opening.end() : svg.rstrip().rfind("</svg>")]
    cut = body.find(_SPOT)
    body, spots = (body, "") if cut < 0 else (body[:cut], body[cut:])
    stem = re.sub(r"-drawing(?:-.*)?$", "", name)
    head = _LEAST_WIDTH.sub("", _OWN.sub("", opening.group(0)))[:-1]
    return head, _without_names(_WORDS.sub("", body, count=1)).replace(f"{stem}-", "\0-"), spots


def _narrow_class(found: re.Match[str]) -> str:
    kept = " ".join(name for name in found[1].split() if name in _NARROW)
    return f' class="{kept}"' if kept else ""


def _without_names(body: str) -> str:
    """A drawing that is only looked at: the names of its groups, which say again what its texts
    say, are left out.

    What another part refers to keeps its id; classes stay where the drawing fades the stages to
    come, and where a narrow screen shows numbers in place of words. Colours come from the page,
    which holds every ink.
    """
    wanted = set(_REFERENCE.findall(body))
    body = _ID.sub(lambda found: found[0] if found[1] in wanted else "", _TITLE.sub("", body))
    body = body if "fw-stage-" in body else _CLASS.sub(_narrow_class, body)
    return _FALLBACK.sub(r"var(\1)", _DATA.sub("", body)).replace("\n", "")
