"""Pages under axe, a checker of accessibility that is not ours (MPL-2.0); two tabs at once, one for
each core.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from importlib.metadata import files
from pathlib import Path

import start  # tools/start.py: it knows where the packages of npm lie

TABS = 2
PHONE: dict[str, object] = {"viewport": {"width": 390, "height": 844}}
DESK: dict[str, object] = {"viewport": {"width": 1280, "height": 900}}
GRAVE = ("serious", "critical")
NEWER = start.NPM_FOLDER / "node_modules" / "axe-core" / "axe.min.js"
# What may change with the colours alone; all other rules are run in the light.
COLOUR_RULES = ("color-contrast", "link-in-text-block")
OPEN_ALL = (
    """() => { document.querySelectorAll("details").forEach(fold => { fold.open = true; }); }"""
)
SCHEME = """scheme => { const sum = getComputedStyle(document.body).backgroundColor.match(/\\d+/g).slice(0, 3).reduce((all, part) => all + Number(part), 0);
    return (sum < 3 * 128) === (scheme === "dark"); }"""
# A style sheet for the test alone: one put in as an element would be refused by the page's policy.
DRESS = """rules => {
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(rules);
  document.adoptedStyleSheets.push(sheet);
}"""
STILL = (  # a colour under way is no colour
    "*, *::before, *::after { transition: none !important; animation: none !important; }"
)
BEGIN = """options => { window.underAxe = axe.run(document, {preload: false, resultTypes: ["violations"], ...options}).then(found => ({
    version: axe.version,
    checked: found.passes.length, unsure: found.incomplete.length,
    faults: found.violations.map(fault => [fault.id, fault.impact, fault.nodes.length, fault.nodes[0].target.join(" ")])})); }"""


@dataclass
class Tally:
    """What was found over many pages: one line for each grave fault, the others counted by rule."""

    grave: list[str] = field(default_factory=list)
    lesser: Counter[str] = field(default_factory=Counter)
    runs: int = 0
    unsure: int = 0
    version: str = ""

    def __str__(self) -> str:
        rest = (
            ", ".join(f"{rule} {count}" for rule, count in sorted(self.lesser.items())) or "nothing"
        )
        return (
            f"axe {self.version}: {self.runs} runs, {len(self.grave)} serious or critical; lesser:"
            f" {rest}; for a person to judge: {self.unsure}"
        )


def axe_script(newest: bool = False) -> str:
    """axe itself: of the locked package, or the newer one of npm where it is wanted and there."""
    if newest and NEWER.is_file():
        return NEWER.read_text(encoding="utf-8")
    found = next(path for path in files("axe-playwright-python") or () if path.name == "axe.min.js")
    return found.read_text(encoding="utf-8")


def checked(
    browser: object,
    paths: Iterable[Path],
    script: str,
    options: dict[str, object],
    schemes: tuple[str, ...],
    tally: Tally,
    prepare: Callable[[object], None] | None = None,
) -> None:
    """Every page under axe in a browser with these options, in the first scheme by all rules, in
    the others by those of colour.
    """
    context = browser.new_context(offline=True, **options)
    context.set_default_timeout(120_000)
    tabs = [context.new_page() for _ in range(TABS)]
    waiting: list[tuple[object, Path, str]] = []

    def collect() -> None:
        while waiting:
            tab, path, scheme = waiting.pop(0)
            found = tab.evaluate("() => window.underAxe")
            tally.runs += 1
            tally.version, tally.unsure = found["version"], tally.unsure + found["unsure"]
            assert found["checked"], f"{path.name}: axe looked at nothing"
            for rule, impact, count, where in found["faults"]:
                if impact in GRAVE:
                    tally.grave.append(
                        f"{'/'.join(path.parts[-3:])}, {options['viewport']['width']} px, {scheme}:"
                        f" {rule} ({count}): {where}"
                    )
                else:
                    tally.lesser[rule] += 1

    rest = list(paths)
    try:
        while rest:
            batch, rest = rest[:TABS], rest[TABS:]
            for place, scheme in enumerate(schemes):
                for tab, path in zip(tabs, batch):
                    if place == 0:
                        tab.emulate_media(color_scheme=scheme)
                        tab.goto(path.resolve().as_uri())
                        tab.evaluate(DRESS, STILL)
                        tab.evaluate(OPEN_ALL)
                        if prepare:
                            prepare(tab)
                        tab.evaluate(script)
                    else:
                        tab.emulate_media(color_scheme=scheme)
                    tab.wait_for_function(SCHEME, arg=scheme)  # the theme turns a moment later
                    tab.evaluate(
                        BEGIN,
                        (
                            {}
                            if place == 0
                            else {"runOnly": {"type": "rule", "values": list(COLOUR_RULES)}}
                        ),
                    )
                    waiting.append((tab, path, scheme))
                collect()
    finally:
        context.close()


def hand_in(page: object) -> None:
    """A quiz with its feedback shown: the first choice everywhere, handed in; other pages stay as
    they are.
    """
    page.evaluate(
        """() => {
            const first = "input[type=radio], input[type=checkbox]";
            for (const question of document.querySelectorAll(".quiz-question"))
                question.querySelector(first)?.click();
            for (let time = 0; time < 2; time += 1)
                document.querySelector(".quiz-hand-in")?.click();
        }"""
    )
