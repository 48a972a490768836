"""Lifelike view: groups of the drawing: the first of a name bears its id, its title, its stage and
what it joins.
"""

from collections.abc import Mapping
from itertools import groupby
from operator import itemgetter

from firstway.choosing.completing import Completed
from firstway.drawing.lifelike.conductors import run_svg, runs_of
from firstway.drawing.lifelike.cover import BLANKS, COVER, LABELS
from firstway.drawing.lifelike.scene import Scene
from firstway.drawing.part_words import (
    ENCLOSURE,
    earth_words,
    spoken_conductor,
    spoken_part,
)
from firstway.drawing.stages import stages_of
from firstway.drawing.svg import (
    shape,
    svg_id,
)
from firstway.layout.plan import Parts
from firstway.model.nec_words import in_nec_words
from firstway.rendering.html import Markup, joined
from firstway.wiring.graph import Conductor


def short_prefix(prefix: str) -> str:
    """How the names of what is only repeated begin: they stand in a drawing by the hundred."""
    return f"{prefix.removesuffix('lifelike')}l"


def _stages(completed: Completed, parts: Parts) -> dict[str, int]:
    """Names of groups and the place of the stage each is fitted in, from 1.

    A bush is fitted with its enclosure, a gland with its cable; the cover is worked on last.
    """
    stages = stages_of(completed)
    places = {stage.id: place for place, stage in enumerate(stages, 1)}
    found = {
        name: place
        for place, stage in enumerate(stages, 1)
        for name in (*stage.shows, *stage.parts, *stage.conductors)
    }
    found |= {"line-bar": places["bar"], ENCLOSURE: found["earth-bar"]}
    found |= dict.fromkeys((COVER, BLANKS, LABELS), places["labels"])
    for opening in parts.openings:
        own = (c.id for c in completed.case.wiring.drawn.conductors if c.cable == opening.name)
        with_cable = max((found.get(each, 0) for each in own), default=places["outgoing"])
        found[f"cable.{opening.name}"] = with_cable
        found[f"opening.{opening.name}"] = with_cable if opening.gland else places["enclosure"]
    return found


class GroupWriter:
    """Writes groups: the first of a name bears its id, its title and what it joins."""

    def __init__(self, completed: Completed, parts: Parts, prefix: str) -> None:
        self.completed, self.prefix = completed, prefix
        self.short = short_prefix(prefix)
        self.wiring = completed.case.wiring.drawn
        self.conductors: Mapping[str, Conductor] = {
            each.id: each for each in (*completed.case.wiring.conductors, *self.wiring.conductors)
        }
        self.stages = _stages(completed, parts)
        self.known: set[str] = set()
        self.runs: dict[str, list[str]] = {}

    def stage_word(self, name: str) -> str:
        """The class of the stage a group is fitted in, with a space before it."""
        found = self.stages.get(name.removeprefix("wire."))
        return f" s{found}" if found else ""

    def painted(self, scene: Scene) -> list[Markup]:
        """Everything from behind to the front; what lies beside each other in one group."""
        pieces: list[tuple[str, Markup]] = []
        things = scene.order.things
        place = 0
        while place < len(things):
            thing = things[place]
            if thing.body is not None:
                pieces.append((thing.body.name, thing.body.svg))
                pieces += thing.body.upon
                place += 1
                continue
            end = place
            while end < len(things) and things[end].tube == thing.tube:
                end += 1
            tube = scene.tubes[thing.tube]
            for first, last in runs_of(tube, [each.place for each in things[place:end]]):
                run = self._run_name(tube.name)
                pieces.append((tube.name, run_svg(scene.eye, tube, run, first, last)))
            place = end
        pieces += [(each.name, each.svg) for each in scene.cover]
        return [
            self.group(name, joined(svg for _, svg in several))
            for name, several in groupby(pieces, key=itemgetter(0))
        ]

    def _run_name(self, tube: str) -> str:
        name = f"{self.short}{sum(map(len, self.runs.values())) + 1}"
        self.runs.setdefault(tube, []).append(name)
        return name

    def group(self, name: str, svg: Markup) -> Markup:
        """A fragment of a part or conductor."""
        stage = self.stage_word(name)
        if name in self.known:
            return shape("g", svg, class_=stage.strip() or None, data_p=name)
        self.known.add(name)
        conductor = self.conductors.get(name.removeprefix("wire."))
        joins = conductor if name.startswith("wire.") else None
        title = self._title(name)
        return shape(
            "g",
            *([shape("title", title)] if title else []),
            svg,
            id=svg_id(self.prefix, name),
            class_=f"{self._classes(name)}{stage}",
            data_from=joins.start if joins else None,
            data_to=joins.end if joins else None,
        )

    def _classes(self, name: str) -> str:
        conductor = self.conductors.get(name.removeprefix("wire."))
        if conductor is not None and name.startswith("wire."):
            return f"conductor {conductor.kind} {conductor.function}"
        part = self.wiring.part(name)
        if part is not None:
            return f"part {part.kind}{' cover' if part.kind == 'blank' else ''}"
        return "opening" if name.startswith("opening.") else f"part {name.partition('.')[0]}"

    def _title(self, name: str) -> str:
        conductor = self.conductors.get(name.removeprefix("wire."))
        if conductor is not None and name.startswith("wire."):
            words = spoken_conductor(self.wiring, conductor, with_ferrule=False)
        elif self.wiring.part(name) is not None:
            words = spoken_part(self.completed, name)
        else:
            words = {
                "enclosure": earth_words(self.completed) or "enclosure",
                "rail": "DIN rail",
                "line-bar": "line bar",
                "cover": "cover",
                BLANKS: "blanks",
                LABELS: "labels",
            }.get(name, name.replace(".", " for ").replace("opening", "opening"))
        return in_nec_words(words) if self.completed.installation.rules == "nec" else words
