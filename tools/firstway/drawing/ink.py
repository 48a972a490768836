"""Drawing: the inks by name: a CSS custom property each, with its colour on light and on dark
paper.

A symbol or a layout names an ink, never a colour. On a page the property decides; a drawing that is
a file of its own brings its colours along. Conductor inks are the colours of the insulation;
nothing else is drawn in them.
"""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Ink:
    """The colour on light and on dark paper."""

    light: str
    dark: str


INKS = {
    "paper": Ink("#fff", "#16191d"),
    "soft": Ink("#565e66", "#aab3bc"),
    "faint": Ink("#c3c8cd", "#4a525a"),
    "panel": Ink("#f4f3f0", "#1f2429"),
    "plate": Ink("#fff", "#262c32"),
    "mark": Ink("#86185a", "#f09bcb"),
    "casing": Ink("#33383d", "#cfd5da"),
    "brown": Ink("#84501f", "#a5682f"),
    "black": Ink("#26282b", "#434a51"),  # darker than grey, and no gap in a dark page
    "grey": Ink("#9aa0a6", "#9aa0a6"),
    "blue": Ink("#2673c8", "#4d97e6"),
    "green": Ink("#2f8a3d", "#2f8f40"),
    "yellow": Ink("#f3d431", "#e8c922"),
    "red": Ink("#c4302b", "#d8504a"),
    "white": Ink("#fdfdfd", "#eceff1"),
}
OWN_INK = "currentColor"

# Tones of bodies in the lifelike view: light in front, 2 on top, 3 at the side. None of them is a
# conductor's colour.
MATERIALS = {
    "line": Ink("#1d2226", "#05070a"),
    "hi": Ink("#fff", "#f4f6f8"),
    "w1": Ink("#fafaf8", "#c9ced3"),
    "w2": Ink("#e9e9e5", "#aeb5bc"),
    "w3": Ink("#cfd0cc", "#878f97"),
    "s1": Ink("#e3e7ea", "#737c85"),
    "s2": Ink("#d0d6da", "#626b74"),
    "s3": Ink("#b3bbc1", "#4a525b"),
    "b1": Ink("#f2f4f5", "#59626b"),
    "b2": Ink("#dde2e5", "#4d555d"),
    "b3": Ink("#c9d0d4", "#434b53"),
    "sh": Ink("#d3d9dd", "#474f57"),
    "m1": Ink("#f0e3b4", "#e6d491"),
    "m2": Ink("#d9c27c", "#bfa75e"),
    "m3": Ink("#b0964c", "#8d763a"),
    "z1": Ink("#eef1f3", "#b6bec6"),
    "z2": Ink("#d3d9dd", "#97a0a9"),
    "z3": Ink("#a3acb3", "#6c757e"),
    "c1": Ink("#f0b48a", "#e8a274"),
    "c2": Ink("#d98e5c", "#c97d4c"),
    "c3": Ink("#a9623a", "#945230"),
    "k1": Ink("#70787f", "#5d656d"),
    "k2": Ink("#555c63", "#454d55"),
    "k3": Ink("#3a4046", "#2c3238"),
    "hole": Ink("#2b3035", "#14181c"),
    "glass": Ink("#dbe6ea", "#a9b8c0"),
}
# classes s1, s2 ... say in which stage of fitting a thing comes; a reference to the drawing, of
# class fw-stage-3, ghosts what comes after the third
MOST_STAGES, GHOST = 18, 0.25

# Insulation colour -> its inks: the first is the body, the second the stripe.
CONDUCTOR_INKS = {
    "brown": ("brown",),
    "black": ("black",),
    "grey": ("grey",),
    "blue": ("blue",),
    "red": ("red",),
    "yellow": ("yellow",),
    "white": ("white",),
    "green": ("green",),
    "bare": ("grey",),
    "green-and-yellow": ("green", "yellow"),
    "green-yellow": ("green", "yellow"),
}


def paint(ink: str) -> str:
    """The value of a `stroke` or `fill` attribute for an ink."""
    if ink == "ink":
        return OWN_INK
    if ink in ("", "none"):
        return "none"
    assert ink in INKS or is_material(ink), ink
    return f"var(--fw-{ink})"


def is_material(ink: str) -> bool:
    """Whether an ink is z and a tone of a body, such as zm2."""
    return ink[:1] == "z" and ink[1:] in MATERIALS


def _properties(dark: bool, lifelike: bool = True) -> str:
    """Inks and tones of bodies, which pictures for the hands are made of too; with the light along
    conductors where a lifelike view may stand.
    """
    tones = INKS | {f"z{name}": ink for name, ink in MATERIALS.items()}
    inks = "".join(f"--fw-{name}:{ink.dark if dark else ink.light};" for name, ink in tones.items())
    return inks + (_shines(dark) if lifelike else "")


# The light along a round conductor: how much of it is white, and for a white one grey.
_SHINE = {"blue": 0.58, "brown": 0.42, "green": 0.7, "black": 0.45, "white": -0.25}
_STROKED = tuple(dict.fromkeys(ink for each in CONDUCTOR_INKS.values() for ink in each))


def _shining(name: str, dark: bool) -> str:
    """The colour of the light along a conductor."""
    ink = INKS[name].dark if dark else INKS[name].light
    figures = ink[1:] if len(ink) == 7 else "".join(2 * each for each in ink[1:])
    share = _SHINE.get(name, 0.6)
    goal, share = (255, share) if share > 0 else (90, -share)
    parts = (int(figures[place : place + 2], 16) for place in (0, 2, 4))
    return "#" + "".join(f"{round(each + (goal - each) * share):02x}" for each in parts)


def _shines(dark: bool) -> str:
    return "".join(f"--fw-{name}-l:{_shining(name, dark)};" for name in _STROKED)


def lifelike_rules() -> str:
    """What the classes of the lifelike view mean: zX fills with a material or an ink, yX strokes
    with it; weights of lines; words, and numbers in their place on a narrow screen.
    """
    fills = {**{name: f"z{name}" for name in MATERIALS}, **{name: name for name in INKS}}
    inks = {**INKS, **MATERIALS}
    return (
        ".fw-lifelike{stroke:var(--fw-zline);stroke-linejoin:round;fill:none}"
        ".fw-lifelike text{stroke:none}.fw-lifelike :is(.zcall,.zwords) text{fill:currentColor}"
        ".fw-lifelike :is(.zfoot,.zclose) text:not([fill]){fill:currentColor}"
        ".zo{stroke-width:1.6}.ze{stroke-width:.9}.zd{stroke-width:.5}.zx{stroke:none}"
        ".fw-lifelike .zf{fill:var(--fw-zline);font-weight:700;font-size:12.8px}"
        ".fw-lifelike .zm{font-size:12px}"
        # on walls of any tone: the sheet's own ink on a rim of its paper
        ".fw-lifelike .zn{fill:currentColor;stroke:var(--fw-paper);stroke-width:3;"
        "paint-order:stroke}"
        ".zlead{stroke:currentColor;stroke-width:.9}"
        ".zdot{stroke:currentColor;stroke-width:4.8;stroke-linecap:round}"
        ".znumber{display:none}.znumber circle{fill:var(--fw-paper);stroke:currentColor}"
        ".fw-lifelike .znumber text{font-size:var(--fw-letters,16px);font-weight:700}"
        + "".join(
            f".z{name}{{fill:{inks[name].light};fill:var(--fw-{fills[name]})}}"
            for name in (*MATERIALS, *_STROKED)
        )
        + "".join(
            f".y{name}{{stroke:{inks[name].light};stroke:var(--fw-{fills[name]})}}"
            f".y{name}-l{{stroke:{_shining(name, False)};stroke:var(--fw-{name}-l)}}"
            for name in _STROKED
        )
        + _quiet_rules(fills)
    )


QUIET = 0.66
"""How much of its colour a thing has lost that was fitted in an earlier stage."""


def _quiet_rules(fills: Mapping[str, str]) -> str:
    """At a stage of the lifelike view: what comes later is absent, what was there before is pale
    but not transparent, words of the whole drawing are absent. Where a browser mixes no colours,
    it stays in full ink.
    """
    places = range(1, MOST_STAGES + 1)
    every = ",".join(f".s{place}" for place in places)

    def mixed(name: str) -> str:
        return f"color-mix(in srgb,var(--fw-{name}) var(--fw-q,100%),var(--fw-paper))"

    return (
        "".join(
            f".fw-lifelike .s{place}{{--fw-q:calc(100% - {round(100 * QUIET)}%*"
            f"clamp(0,var(--fw-stage,{place}) - {place},1));"
            f"opacity:clamp(0,var(--fw-stage,{place}) - {place - 1},1)}}"
            for place in places
        )
        + ".fw-lifelike :is(.zcall,.zfoot){opacity:clamp(0,1 - var(--fw-stage,0),1)}"
        ".fw-lifelike .zlight text{fill:var(--fw-zhi)}.zthrough{opacity:.4}"
        ".zscrews{stroke:var(--fw-mark);stroke-linecap:round;opacity:.5}"
        f"@supports (color:color-mix(in srgb,red,red)){{.fw-lifelike :is({every}){{stroke:"
        f"{mixed('zline')}}}.fw-lifelike .zf:not(.zn){{fill:{mixed('zline')}}}"
        ".fw-lifelike .zn{fill:"
        "color-mix(in srgb,currentColor var(--fw-q,100%),var(--fw-paper))}"
        + "".join(f".z{name}{{fill:{mixed(fills[name])}}}" for name in (*MATERIALS, *_STROKED))
        + "".join(
            f".y{name}{{stroke:{mixed(fills[name])}}}.y{name}-l{{stroke:{mixed(f'{name}-l')}}}"
            for name in _STROKED
        )
        + "}"
    )


def page_stylesheet(
    dark_scheme: str = '[data-md-color-scheme="slate"]',
    lifelike: bool = True,
    numbered: bool = False,
    stages: bool = True,
) -> str:
    """Custom properties of every ink for a page: light, dark on screen under `dark_scheme` ("": as
    the device is set), light in print; with what the lifelike view takes, where a page may hold it,
    or flat views with numbers alone; with what fades stages to come.
    """
    properties = _properties(True, lifelike)
    dark = (
        f"@media screen{{{dark_scheme}{{{properties}}}}}"
        if dark_scheme
        else f"@media screen and (prefers-color-scheme:dark){{:root{{{properties}}}}}"
    )
    return (
        f":root{{{_properties(False, lifelike)}}}\n{dark}\n"
        "svg.fw-drawing{display:block;width:100%;height:auto}\n"
        ".sheet>svg.fw-hand{max-width:35rem;margin:0 auto}#colours-drawing{max-width:35rem}\n"
        + (lifelike_rules() + _NARROW if lifelike else _NUMBERED if numbered else "")
        + (_stages() if stages else "")
        + "\n@media"
        " print{svg.fw-drawing{min-width:0!important}svg.fw-again{max-height:110mm!important}}\n"
    )


# numbers with their list take the place of words, but for the drawing opened large and the letters
# of a question's answers
_NUMBERED = (
    "@media screen and (max-width:37.5rem){"
    ".large{--fw-words:inline;--fw-numbers:none;--fw-l:inline}"
    ".fw-numbered :is(text,.label){display:var(--fw-words,none)}"
    ".fw-numbered :is(.key,.title-block){display:var(--fw-f,var(--fw-words,none))}"
    ".numbers.on-paper text{stroke:var(--fw-paper);stroke-width:8;paint-order:stroke}"
    ".fw-worded{--fw-words:inline;--fw-numbers:none;--fw-f:var(--fw-l,none)}"
    ".fw-numbered .numbers,.fw-numbered .numbers text{display:var(--fw-numbers,inline)}"
    ".fw-numbered .spot text{display:inline}}\n"
)
_NARROW = (
    "\n.md-typeset .zkey:not([hidden]){display:none}"
    ".md-typeset .zkey li{text-align:left;margin:0 0 .1em 2em}"
    "@media screen and (max-width:37.5rem){"
    ".zwords,.zfoot{display:var(--fw-words,none)}.znumber{display:var(--fw-numbers,inline)}"
    ".fw-lifelike :is(.zf,.zm){font-size:var(--fw-letters,16px)}"
    ".sheet>svg.fw-wide{--fw-letters:21.5px}"
    ".sheet>svg.fw-box{--fw-cover:var(--fw-words,none)}.cover{display:var(--fw-cover,inline)}"
    ".fw-lifelike .zclose text{font-size:calc(var(--fw-letters,16px)*.857)}"
    ".sheet>svg.fw-close-up{min-width:0}.fw-close-up text{font-size:12.8px}"
    ".md-typeset .zkey:not([hidden]){display:block}}\n"
) + _NUMBERED


def _stage_rules(place: int) -> str:
    """A reference that stands at a stage ghosts what comes in later ones."""
    return (
        f".s{place}{{--fw-there:clamp(0,var(--fw-stage,99) - {place - 1},1);"
        f"opacity:max({GHOST},var(--fw-there))}}.fw-stage-{place}{{--fw-stage:{place}}}"
    )


def _stages() -> str:
    """The rules of all stages; words that flat views write come with what they name, for a faint
    letter cannot be read.
    """
    words = ".fw-wiring :is(text,.label){opacity:var(--fw-there,1)}"
    return "".join(map(_stage_rules, range(1, MOST_STAGES + 1))) + words


def standalone_stylesheet(stage: int = 0, lifelike: bool = False) -> str:
    """The same for a drawing that is a file of its own; with `stage`, what comes later is faint;
    with the rules of the lifelike view where it is one.
    """
    ghosts = _stages() if stage else ""
    return (
        f":root{{{_properties(False)}color:#1c2024;background:#ffffff}}"
        "@media screen and (prefers-color-scheme:dark){"
        f":root{{{_properties(True)}color:#e6eaee;background:#16191d}}}}{ghosts}"
        f"{lifelike_rules() if lifelike else ''}"
    )
