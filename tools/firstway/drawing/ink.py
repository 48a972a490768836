"""Drawing: the inks by name: a CSS custom property each, with its colour on light and on dark
paper.

A symbol or a layout names an ink, never a colour. On a page the property decides; alone, the
fallback. Conductor inks are the colours of the insulation; nothing else is drawn in them.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Ink:
    """`light` is also the fallback inside the drawing; `grey` is what print uses."""

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
    "black": Ink("#26282b", "#08090a"),
    "grey": Ink("#9aa0a6", "#9aa0a6"),
    "blue": Ink("#2673c8", "#4d97e6"),
    "green": Ink("#2f8a3d", "#2f8f40"),
    "yellow": Ink("#f3d431", "#e8c922"),
    "red": Ink("#c4302b", "#d8504a"),
    "white": Ink("#fdfdfd", "#eceff1"),
}
OWN_INK = "currentColor"
# classes s1, s2 ... say in which stage of fitting a thing comes; a reference to the drawing, of
# class fw-stage-3, ghosts what comes after the third
MOST_STAGES, GHOST = 18, 0.16

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
    return f"var(--fw-{ink},{INKS[ink].light})"


def _properties(dark: bool) -> str:
    return "".join(f"--fw-{name}:{ink.dark if dark else ink.light};" for name, ink in INKS.items())


def page_stylesheet(dark_scheme: str = '[data-md-color-scheme="slate"]') -> str:
    """Custom properties of every ink for a page: light, dark on screen under `dark_scheme` ("": as
    the device is set), light in print.
    """
    dark = (
        f"@media screen{{{dark_scheme}{{{_properties(True)}}}}}"
        if dark_scheme
        else f"@media screen and (prefers-color-scheme:dark){{:root{{{_properties(True)}}}}}"
    )
    return (
        f":root{{{_properties(False)}}}\n{dark}\n"
        "svg.fw-drawing{display:block;width:100%;height:auto}\n"
        + "".join(map(_stage_rules, range(1, MOST_STAGES + 1)))
        + "\n@media"
        " print{svg.fw-drawing{min-width:0!important}svg.fw-again{max-height:110mm!important}}\n"
    )


def _stage_rules(place: int) -> str:
    """A reference that stands at a stage ghosts what comes in later ones."""
    return (
        f".s{place}{{opacity:clamp({GHOST},var(--fw-stage,99) - {place - 1},1)}}"
        f".fw-stage-{place}{{--fw-stage:{place}}}"
    )


def standalone_stylesheet(stage: int = 0) -> str:
    """The same for a drawing that is a file of its own; with `stage`, what comes later is faint."""
    ghosts = "".join(map(_stage_rules, range(1, MOST_STAGES + 1))) if stage else ""
    return (
        f":root{{{_properties(False)}color:#1c2024;background:#ffffff}}"
        "@media screen and (prefers-color-scheme:dark){"
        f":root{{{_properties(True)}color:#e6eaee;background:#16191d}}}}{ghosts}"
    )
