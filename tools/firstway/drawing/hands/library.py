"""Drawing, pictures for the hands: all of them by id, and how one is made.

A new picture is a function in the module of its topic and a line here. `of` says what it is made
for: a device's terminals, or nothing, where its figures come from tables alone.
"""

from collections.abc import Callable, Iterator

from firstway.choosing.completing import Completed
from firstway.drawing.hands.figures import devices_with_terminals, terminal_figures
from firstway.drawing.hands.frame import Made
from firstway.drawing.hands.terminations import (
    below_the_cage,
    clamp_picture,
    conductor_kinds,
    strip_length,
)
from firstway.drawing.svg import Drawn, drawn_from
from firstway.files.plain_values import suggestion
from firstway.frozen import dataclass

Making = Callable[[Completed, str], "Made | str"]


@dataclass(frozen=True)
class HandPicture:
    """A picture by its id. Made for a device (`of_device`), it takes a job and the device's name;
    else it takes neither. Either way a picture that cannot be made says why in words.
    """

    id: str
    title: str
    topic: str
    make: Callable[[], Made] | None = None
    of_device: Making | None = None


TERMINATIONS, BARS, ENTRIES = "Terminations", "Bars", "Entries"
PICTURE_TOPICS = (TERMINATIONS, BARS, ENTRIES)
PICTURES = (
    HandPicture("clamp", "A conductor in a rising clamp", TERMINATIONS, of_device=clamp_picture),
    HandPicture(
        "strip-length", "Stripped to length, and not", TERMINATIONS, of_device=strip_length
    ),
    HandPicture(
        "conductor-kinds",
        "Solid, stranded, fine strands",
        TERMINATIONS,
        of_device=conductor_kinds,
    ),
    HandPicture(
        "below-the-cage", "In the cage, and below it", TERMINATIONS, of_device=below_the_cage
    ),
)
BY_ID = {picture.id: picture for picture in PICTURES}


def drawn_picture(picture: HandPicture, job: Completed | None, of: str) -> tuple[Made, Drawn] | str:
    """The picture as values and as SVG; in words, why it cannot be made."""
    if picture.make is not None:
        made: Made | str = picture.make()
    elif job is None or picture.of_device is None:
        return f"the picture '{picture.id}' is made for a device of an installation"
    else:
        made = picture.of_device(job, of)
    if isinstance(made, str):
        return made
    for_job = f"-{job.installation.name}-{of}" if job and picture.of_device else ""
    return made, drawn_from(made.sheet, f"{picture.id}{for_job}")


def made_for(picture: HandPicture, job: Completed) -> Iterator[str]:
    """The names in a job that a picture can be made for."""
    if picture.of_device is not None:
        for device in devices_with_terminals(job):
            if not isinstance(terminal_figures(job, device.name), str):
                yield device.name


def nearest(name: str) -> str:
    """What an author may have meant."""
    return suggestion(name, BY_ID) or f"known are: {', '.join(BY_ID)}"
