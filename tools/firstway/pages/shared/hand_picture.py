"""Pages: a picture for the hands with its figures below it, each with where it comes from."""

from __future__ import annotations

from firstway.drawing.hands.frame import Made, ShownFigure
from firstway.drawing.svg import Drawn
from firstway.pages.shared.picture import picture_html
from firstway.rendering.citing import citation_html
from firstway.rendering.html import Markup, joined, tag
from firstway.rendering.spoken_keys import path_in_words


def hand_picture_html(made: Made, drawn: Drawn) -> Markup:
    """The picture, and what its figures rest on."""
    if not made.figures:
        return picture_html(drawn)
    told = joined(map(_figure_html, made.figures), "; ")
    return picture_html(drawn) + tag("p", "Its figures: ", told, ".", class_="cite cited")


def _figure_html(figure: ShownFigure) -> Markup:
    said = tag("span", figure.words, class_="figure") + f", {figure.says}"
    if figure.row is not None:
        row = figure.row
        return said + " (" + citation_html(row.source, row.edition, row.standing) + ")"
    if not figure.path:
        return said
    return said + f" ({path_in_words(figure.path) or 'worked from the file of the job'})"


def sources_of_picture(made: Made) -> tuple[str, ...]:
    """The ids of the sources that its figures rest on."""
    return tuple(dict.fromkeys(each.row.source for each in made.figures if each.row is not None))
