"""Rendering: the caution that stands on every page and drawing that describes work."""

from __future__ import annotations

from firstway.rendering.html import Markup, tag

_SENTENCES = (
    "Electricity kills and starts fires.",
    (
        "This is teaching material: it does not replace the current standard, the local code, the"
        " maker's instructions or the judgement of a licensed person."
    ),
    (
        "Sizes are proposals for a responsible designer. Work only on what a qualified person has"
        " isolated and proved dead."
    ),
    (
        "The cut-out, the service equipment, the meter and live tails belong to authorised persons"
        " only."
    ),
)


def caution_text() -> str:
    """The whole caution as plain text."""
    return " ".join(_SENTENCES)


def caution_line(edition: str) -> str:
    """One line for a terminal or the foot of a drawing."""
    return (
        "Caution: a proposal for a responsible designer, not a design; local code and licensed"
        f" practice come first. Edition the file asks for: {edition}; each finding names the one it"
        " rests on."
    )


def edition_line(edition: str) -> str:
    """What stands beside the caution box on a paper and on what comes back: a learner has no file
    and no findings.
    """
    return f"Edition of the rules: {edition}."


def caution_html() -> Markup:
    """The caution box of a page."""
    return tag(
        "aside",
        tag("p", tag("strong", "Caution."), f" {caution_text()}"),
        class_="caution",
        role="note",
        aria_label="Caution",
    )
