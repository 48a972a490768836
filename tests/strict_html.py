"""A strict and quick look at one HTML page, by the rules of the HTML standard that a parser
forgives: what browsers mend, we refuse.

Tags balanced and no attribute twice; ids unique and every reference to one met; one first heading,
none empty; every link, button and picture named. Reads tags by itself: no parser stands between the
page and the check.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape
from urllib.parse import unquote

VOID = frozenset("area base br col embed hr img input link meta source track wbr".split())
REFERENCES = ("aria-labelledby", "aria-describedby", "aria-controls", "for", "popovertarget")
PART = re.compile(
    r"<!--.*?-->|<!doctype[^>]*>|<(?P<raw>script|style|textarea|title)\b(?P<given>(?:[^>"
    r"\"']|\"[^\"]*\"|'[^']*')*)>(?P<inside>.*?)</(?P=raw)\s*>"
    r"|<(?P<close>/?)(?P<name>[a-zA-Z][\w:-]*)(?P<rest>(?:[^>\"']|\"[^\"]*\"|'[^']*')*)>",
    re.DOTALL | re.IGNORECASE,
)
ATTRIBUTE = re.compile(r"([^\s=/>\"']+)(?:\s*=\s*(?:\"([^\"]*)\"|'([^']*)'|([^\s\"'>]+)))?")
ALONE = {
    "a": {"a", "button"},
    "button": {"a", "button"},
    "label": {"label"},
    "form": {"form"},
    "p": {"p", "div", "ul", "ol", "table", "figure", "section", "h2"},
}
MUST_SAY = ("h1", "h2", "h3", "h4", "h5", "h6", "a", "button", "summary", "caption", "legend")


def attributes(text: str) -> list[tuple[str, str]]:
    return [
        (name.lower(), unescape(one or two or three))
        for name, one, two, three in ATTRIBUTE.findall(text)
    ]


def strict_faults(html: str) -> list[str]:
    """What is wrong with a page, one line each; empty where nothing is."""
    return list(_faults(html))


def _faults(html: str) -> Iterator[str]:
    if not re.match(r"\s*<!doctype html>", html, re.IGNORECASE):
        yield "does not begin with <!doctype html>"
    ids: set[str] = set()
    wanted: list[tuple[str, str]] = []
    open_tags: list[
        tuple[str, dict[str, str], list[str]]
    ] = []  # name, attributes, what it says so far
    titles = first_headings = 0
    end = 0
    for part in PART.finditer(html):
        between = html[end : part.start()]
        if "<" in between:
            yield f"a stray < near {between[between.index('<') :][:40]!r}"
        if open_tags and between.strip():
            open_tags[-1][2].append(between.strip())
        end = part.end()
        name = (part["name"] or part["raw"] or "").lower()
        if not name:
            continue
        if part["close"]:
            if name in VOID:
                yield f"</{name}> closes what has no end"
            elif not open_tags or open_tags[-1][0] != name:
                yield (
                    f"</{name}> closes {'<' + open_tags[-1][0] + '>' if open_tags else 'nothing'}"
                    f" near {html[max(0, part.start() - 60) : part.start()]!r}"
                )
                return
            else:
                _, own, said = open_tags.pop()
                named = (
                    own.get("aria-label")
                    or own.get("aria-labelledby")
                    or own.get("title")
                    or "".join(said)
                )
                if (
                    name in MUST_SAY
                    and not named
                    and own.get("aria-hidden") != "true"
                    and not (name == "a" and "href" not in own)
                ):
                    yield f"an empty <{name}> {own}"
                if open_tags:
                    open_tags[-1][2].extend(
                        said or ([own["aria-label"]] if "aria-label" in own else [])
                    )
            continue
        given = attributes(part["rest"] if part["raw"] is None else part["given"])
        own = dict(given)
        if len(own) != len(given):
            yield f"<{name}> says an attribute twice: {[key for key, _ in given]}"
        if "id" in own:
            if not own["id"] or re.search(r"\s", own["id"]):
                yield f"the id {own['id']!r} is empty or has a space"
            if own["id"] in ids:
                yield f"the id {own['id']} stands twice"
            ids.add(own["id"])
        wanted += [(key, each) for key in REFERENCES if key in own for each in own[key].split()]
        if own.get("href", "").startswith("#") and len(own["href"]) > 1:
            wanted.append(("href", unquote(own["href"][1:])))
        if name == "html" and not own.get("lang"):
            yield "<html> names no language"
        if name == "img" and "alt" not in own:
            yield f"a picture without alt: {own.get('src', '')[:60]}"
        if (
            name == "svg"
            and own.get("role") == "img"
            and not (own.get("aria-label") or own.get("aria-labelledby"))
        ):
            yield "a drawing without a name"
        if (
            name == "svg"
            and own.get("role") != "img"
            and own.get("aria-hidden") != "true"
            and not any(
                {"aria-hidden", "aria-label", "title"} & set(each[1]) or each[0] in ("a", "button")
                for each in open_tags
            )
        ):
            yield (
                "a picture that is neither named nor hidden, in"
                f" {[each[0] for each in open_tags[-3:]]}"
            )
        if name == "title" and not any(each[0] == "svg" for each in open_tags):
            titles += 1
            if not (part["inside"] or "").strip():
                yield "the title is empty"
        first_headings += name == "h1"
        for outer, _, _ in open_tags:
            if name in ALONE.get(outer, ()):
                yield f"<{name}> inside <{outer}>"
        if part["raw"] is None and name not in VOID and not part["rest"].rstrip().endswith("/"):
            open_tags.append((name, own, []))
        elif name == "img" and open_tags:
            open_tags[-1][2].append(own.get("alt", ""))
    if open_tags:
        yield f"not closed: {[each[0] for each in open_tags]}"
    if titles != 1:
        yield f"{titles} titles"
    if first_headings != 1:
        yield f"{first_headings} first headings"
    for kind, name in wanted:
        if name not in ids:
            yield f"{kind} names {name}, which is nowhere on the page"
