"""Lifelike view: groups of the drawing: the first of a name bears its id, its title, the stage it is
fitted in, and what it joins.
"""

from collections.abc import Mapping
from itertools import groupby
from operator import itemgetter

from firstway.choosing.completing import Completed
from firstway.drawing.lifelike.conductors import run_svg, runs_of
from firstway.drawing.lifelike.scene import Scene
from firstway.drawing.part_words import (
    ENCLOSURE,
    earth_words,
    spoken_conductor,
    spoken_part,
)
from firstway.drawing.stages import stage_classes
from firstway.drawing.svg import (
    shape,
    svg_id,
)
from firstway.model.nec_words import in_nec_words
from firstway.rendering.html import Markup, joined
from firstway.wiring.graph import Conductor


def short_prefix(prefix: str) -> str:
    """How the names of what is only repeated begin: they stand in a drawing by the hundred."""
    return f"{prefix.removesuffix('lifelike')}l"


class Told:
    """Writes groups: the first of a name bears its id, its title and what it joins."""

    def __init__(self, completed: Completed, prefix: str) -> None:
        self.completed, self.prefix = completed, prefix
        self.short = short_prefix(prefix)
        self.wiring = completed.case.wiring.drawn
        self.conductors: Mapping[str, Conductor] = {
            each.id: each for each in (*completed.case.wiring.conductors, *self.wiring.conductors)
        }
        self.stages = dict(stage_classes(completed))
        self.stages |= {"line-bar": self.stages["bar"], ENCLOSURE: self.stages["earth-bar"]}
        self.known: set[str] = set()
        self.runs = 0

    def stage_word(self, name: str) -> str:
        """The class of the stage a group is fitted in, with a space before it."""
        bare = name.removeprefix("wire.")
        found = self.stages.get(bare)
        for head in ("cable.", "opening."):
            if bare.startswith(head):
                cable = bare.removeprefix(head)
                found = self.stages.get(
                    next((c.id for c in self.wiring.conductors if c.cable == cable), "")
                )
        return f" {found}" if found else ""

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
                pieces.append((tube.name, run_svg(scene.eye, tube, self._run_name(), first, last)))
            place = end
        pieces += [(each.name, each.svg) for each in scene.cover]
        return [
            self.group(name, joined(svg for _, svg in several))
            for name, several in groupby(pieces, key=itemgetter(0))
        ]

    def _run_name(self) -> str:
        self.runs += 1
        return f"{self.short}{self.runs}"

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
            return f"part {part.kind}"
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
                "cover.blanks": "blanks",
            }.get(name, name.replace(".", " for ").replace("opening", "opening"))
        return in_nec_words(words) if self.completed.installation.rules == "nec" else words
