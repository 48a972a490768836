"""Site: the theme's style sheets without the rules that no page of the guide has a use for.

A selector is left out where it names a class, or a value of an attribute of the frame, that neither
a page nor a script bears; then every property of its own (`--name`) that no rule is left to read.
When in doubt a rule stays: what stands in `:not()` and `:is()` is not looked at.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from hashlib import sha256
from pathlib import Path
from typing import Any

import tinycss2

from firstway.files.keeping import kept
from firstway.site.leaving_out import FRAME_SCRIPT

THEME_STYLES = "assets/stylesheets/*.css"
# Begun with letters alone, a pattern is found ten times as fast.
_CLASSES = re.compile(r'class="([^"]*)"')
_VALUES = (re.compile(r'dir="[^"]*"'), re.compile(r'data-md-[\w-]+="[^"]*"'))
_FRAME_END = "<article"
_NAMED_IN_SCRIPT = re.compile(r"[A-Za-z][\w-]*")
_OF_THE_SEARCH = re.compile(r"\bmd-search[\w-]*")  # what the theme's script writes on pages of ours
_ASKED = re.compile(r'(dir|data-md-[\w-]+)="?([^"]*)')
_READ = re.compile(r"var\(\s*(--[\w-]+)")


def leave_out_rules(site: Path) -> None:
    """Rewrite the theme's style sheets in a built guide, whose own scripts and styles lie in its
    folder `assets`.
    """
    used = used_names(
        pages_in_theme(site),
        (path.read_text(encoding="utf-8") for path in sorted((site / "assets").glob("*.js"))),
        (path.read_text(encoding="utf-8") for path in sorted(site.glob("assets/javascripts/*.js"))),
    )
    own = sorted((site / "assets").glob("*.css"))
    read = set(_READ.findall("".join(path.read_text(encoding="utf-8") for path in own)))
    paths = sorted(site.glob(THEME_STYLES))
    sheets = [path.read_text(encoding="utf-8") for path in paths]
    words = set(_NAMED_IN_SCRIPT.findall("".join(sheets)))
    rests_on = "\n".join([*sheets, *sorted(used & words), *sorted(read)])
    lean = kept(
        "theme-styles",
        "of the guide",
        sha256(rests_on.encode()).hexdigest(),
        lambda: lean_styles(sheets, used, read),
        data=lambda made: made,
        thing=lambda data: [str(sheet) for sheet in data],
        program=sha256(Path(__file__).read_bytes()).hexdigest(),
    )
    for path, sheet in zip(paths, lean):
        path.write_text(sheet, encoding="utf-8", newline="\n")


def pages_in_theme(site: Path) -> Iterator[str]:
    """The pages that the theme's style sheets dress; the others stand alone."""
    for path in sorted(site.rglob("*.html")):
        page = path.read_text(encoding="utf-8")
        if "assets/stylesheets/" in page[:4000]:
            yield page
    if (site / FRAME_SCRIPT).is_file():  # what it puts into them
        yield (site / FRAME_SCRIPT).read_text(encoding="utf-8").replace('\\"', '"')


def used_names(pages: Iterable[str], scripts: Iterable[str], theme: Iterable[str]) -> set[str]:
    """Classes, and attributes of the frame as `name=value`, that stand on pages, or may be written
    there: by our scripts, whose every word is taken for one, and by the theme's for its search.

    >>> sorted(used_names(['<p class="a b" dir="ltr">'], ["add('c')"], ["'md-search-x md-clip'"]))
    ['a', 'add', 'b', 'c', 'dir=ltr', 'md-search-x']
    """
    found: set[str] = set()
    for page in pages:
        frame = page.partition(_FRAME_END)[0]
        found.update(_CLASSES.findall(page), *(each.findall(frame) for each in _VALUES))
    used = {name for text in found for name in text.replace('"', "").split()}
    for script in scripts:
        used.update(_NAMED_IN_SCRIPT.findall(script))
    for script in theme:
        used.update(_OF_THE_SEARCH.findall(script))
    return used


def lean_styles(sheets: list[str], used: set[str], read: set[str]) -> list[str]:
    """The sheets with what is used, and with the properties that they or `read` name.

    >>> lean_styles([".a .b,.c{color:var(--x);--y:1}@media print{.b{top:0}}:root{--x:1;--z:2}"],
    ...             {"c"}, {"--z"})
    ['.c{color:var(--x)}:root{--x:1;--z:2}']
    """
    lean = ["".join(_rules(tinycss2.parse_stylesheet(each, True, True), used)) for each in sheets]
    before: list[str] = []
    while lean != before:
        before, named = lean, read.union(*map(_READ.findall, lean))
        lean = ["".join(_read_rules(tinycss2.parse_stylesheet(each), named)) for each in lean]
    return lean


def _rules(rules: Iterable[Any], used: set[str]) -> Iterator[str]:
    for rule in rules:
        if rule.type == "qualified-rule":
            parts = _at_commas(rule.prelude)
            left = ",".join(tinycss2.serialize(part) for part in parts if _is_used(part, used))
            if left:
                yield f"{left}{{{tinycss2.serialize(rule.content)}}}"
        elif rule.lower_at_keyword in ("media", "supports"):
            inside = "".join(_rules(tinycss2.parse_rule_list(rule.content, True, True), used))
            if inside:
                yield f"@{rule.at_keyword}{tinycss2.serialize(rule.prelude)}{{{inside}}}"
        else:
            yield rule.serialize()


def _at_commas(prelude: list[Any]) -> list[list[Any]]:
    parts: list[list[Any]] = [[]]
    for token in prelude:
        if token == ",":
            parts.append([])
        else:
            parts[-1].append(token)
    return parts


def _is_used(selector: list[Any], used: set[str]) -> bool:
    return all(name in used for name in _asked_for(selector))


def _asked_for(selector: list[Any]) -> Iterator[str]:
    """The classes, and values of the frame's attributes, that an element must bear."""
    for before, token in zip([None, *selector], selector):
        if token.type == "ident" and before == ".":
            yield token.value
        elif token.type == "[] block":
            asked = _ASKED.fullmatch(tinycss2.serialize(token.content).rstrip('"'))
            if asked:
                yield f"{asked[1]}={asked[2]}"


def _read_rules(rules: Iterable[Any], read: set[str]) -> Iterator[str]:
    """The rules without properties of their own that nothing reads."""
    for rule in rules:
        if rule.type == "at-rule" and rule.lower_at_keyword in ("media", "supports"):
            inside = "".join(_read_rules(tinycss2.parse_rule_list(rule.content), read))
            if inside:
                yield f"@{rule.at_keyword}{tinycss2.serialize(rule.prelude)}{{{inside}}}"
        elif rule.type == "qualified-rule":
            told = ";".join(
                each.serialize()
                for each in tinycss2.parse_declaration_list(rule.content, True, True)
                if each.type != "declaration" or not each.name.startswith("--") or each.name in read
            )
            if told:
                yield f"{tinycss2.serialize(rule.prelude)}{{{told}}}"
        else:
            yield rule.serialize()
