"""Drawing: an existing installation in earlier colours beside the new work, where both come to one
terminal.
"""

from firstway.choosing.completing import Completed
from firstway.drawing.colour_legend import AGE_WORDS
from firstway.drawing.line_styles import conductor_layers
from firstway.drawing.numbered import numbered_parts
from firstway.drawing.sheet import (
    HAIR,
    LINE,
    SMALLEST,
    Box,
    Disc,
    Drawable,
    Group,
    Lettering,
    Sheet,
    Strands,
)
from firstway.drawing.svg import Drawn, drawn_from
from firstway.drawing.text_width import reserved_width, wrapped
from firstway.model.installation import ExistingBoard
from firstway.model.values import is_known
from firstway.rendering.html import caution_line
from firstway.tables.looking_up import conductor_colour
from firstway.tables.reading import Gap
from firstway.wiring.graph import Conductor, Function

_EARLIER, NOW = "red-black", "harmonised"
_WIDTH, _TOP, _ROW, BOX = 880.0, 66.0, 44.0, 176.0
WARNING = (
    "No colour is proof. Isolate, prove dead, identify by test; mark both sides of the joint with"
    " letters. The tails are for an authorised person."
)


def old_meets_new(completed: Completed, prefix: str) -> Drawn | None:
    """The joint of the old and the new conductors of a job; None where the job has no board in
    earlier colours.
    """
    board = existing_in_earlier_colours(completed)
    return drawn_from(_sheet(completed, board), prefix) if board else None


def existing_in_earlier_colours(completed: Completed) -> ExistingBoard | None:
    """The job's existing board that was wired in earlier colours, where the new work is in
    today's.
    """
    installation = completed.installation
    feed = (
        installation.feed.cable.colours
        if is_known(installation.feed) and is_known(installation.feed.cable)
        else None
    )
    if str(feed) != NOW:
        return None
    return next(
        (board for board in installation.existing_boards if str(board.colours) == _EARLIER), None
    )


def _functions(completed: Completed) -> tuple[Function, ...]:
    lines = int(completed.installation.supply.phases)
    return ("L1", "L2", "L3", "N", "PE") if lines == 3 else ("L1", "N", "PE")


def _colour(age: str, function: str, lines: int) -> str:
    found = conductor_colour(age, function, lines)
    return "not known" if isinstance(found, Gap) else str(found.value)


def _sheet(completed: Completed, board: ExistingBoard) -> Sheet:
    functions, lines = _functions(completed), int(completed.installation.supply.phases)
    middle = _WIDTH / 2
    height = _TOP + _ROW * len(functions) + 18
    year = f", {board.year}" if is_known(board.year) else ""
    groups = [
        _box(
            "existing",
            8,
            height,
            ("Existing board", f"{board.name}{year}", AGE_WORDS[_EARLIER]),
            "The existing board",
        ),
        _box(
            "joint",
            middle - BOX / 2,
            height,
            ("Joint", "each conductor marked", "on both sides"),
            "Where both come to one terminal",
        ),
        _box(
            "new",
            _WIDTH - BOX - 8,
            height,
            ("New board", "this job", AGE_WORDS[NOW]),
            "The new board",
        ),
    ]
    said = []
    for row, function in enumerate(functions):
        y = _TOP + _ROW * row + _ROW / 2
        old, new = _colour(_EARLIER, function, lines), _colour(NOW, function, lines)
        groups.append(_strand(function, old, _EARLIER, 8 + BOX, middle - 34, y))
        groups.append(_strand(function, new, NOW, middle + 34, _WIDTH - BOX - 8, y))
        terminal: list[Drawable] = [
            Disc(middle - 34, y, 6.5, "ink", LINE, "paper"),
            Disc(middle + 34, y, 6.5, "ink", LINE, "paper"),
            Lettering(middle, y + 4.3, function, anchor="middle", bold=True),
        ]
        groups.append(
            Group(
                f"terminal.{function}",
                tuple(terminal),
                f"{function}: {old} meets {new}",
                f"terminal {function}",
            )
        )
        said.append(
            f"{function}: {old} from the existing board, {new} to the new one"
            + ("" if old != new else ", alike")
            + "."
        )
    warned = wrapped(WARNING, SMALLEST, _WIDTH - 120)  # bold words run wider
    foot = [*warned, *wrapped(caution_line(completed.installation.edition), SMALLEST, _WIDTH - 24)]
    words = tuple(
        Lettering(12, height + 22 + 15 * place, line, bold=place < len(warned))
        for place, line in enumerate(foot)
    )
    groups.append(Group("caution", words, classes="caution"))
    title = f"Old colours meet new: {completed.installation.title}"
    sheet = Sheet(
        _WIDTH,
        height + 22 + 15 * len(foot),
        tuple(groups),
        title,
        f"{title}. {' '.join(said)} {WARNING} {caution_line(completed.installation.edition)}",
        "colours",
        caps="butt",
        data=(("installation", completed.installation.name),),
    )
    return numbered_parts(sheet, {}, _WIDTH, height + 6, (WARNING,))


def _box(name: str, left: float, height: float, lines: tuple[str, ...], title: str) -> Group:
    texts = tuple(
        Lettering(
            left + 10, 26 + 15 * place, line, bold=place == 0, ink="ink" if place == 0 else "soft"
        )
        for place, line in enumerate(lines)
    )
    return Group(
        name, (Box(left, 8, BOX, height - 8, round=6, fill="panel"), *texts), title, "part"
    )


def _strand(
    function: Function, colour: str, age: str, left: float, right: float, y: float
) -> Group:
    words = f"{function} {colour.replace('green-and-yellow', 'green-yellow')}"
    conductor = Conductor(f"{age}.{function}", "", "", function, "core", None, "", colour, None)
    hidden = BOX / 2 - 34  # the end of the strand inside the box of the joint
    free = (left + right - hidden) / 2 if age == _EARLIER else (left + right + hidden) / 2
    wide = reserved_width(words, SMALLEST) + 8
    plate = Box(free - wide / 2, y - 7.5, wide, 15, "casing", HAIR, "paper", 4)
    return Group(
        f"wire.{age}.{function}",
        (
            Strands(((left, y), (right, y)), conductor_layers(conductor)),
            plate,
            Lettering(free, y + 4.3, words, anchor="middle"),
        ),
        f"{words}, {AGE_WORDS[age]}",
        f"conductor {function}",
    )
