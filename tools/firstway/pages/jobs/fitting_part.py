"""Pages: what the installer takes to the job: terminals and torque, what to hand over."""

from collections.abc import Sequence

from firstway.model.installation import Amount, Installation, Terminals
from firstway.model.nec_words import in_nec_words
from firstway.model.values import NONE, Absent, is_known
from firstway.rendering.figures import figure_in_formula
from firstway.rendering.html import Markup, list_html, table_html, tag

ASK_THE_MAKER = "ask the maker"
TERMINAL_HEAD = ("device", "torque", "strip", "conductor", "in one terminal", "ferrule")
PLACE_WORDS = {"met": "main earthing terminal", "bar": "line bar"}
DEVICE_WORDS = {
    "spd": "surge protective device",
    "rcbo": "RCBO",
    "rcd": "residual current device",
    "circuit-breaker": "circuit-breaker",
    "fuse": "fuse",
    "contactor": "contactor",
    "switch-disconnector": "switch-disconnector",
    "isolator": "isolator",
}


def terminals_table(
    installation: Installation,
    names: Sequence[str],
    caption: str = "Terminals of this stage, as the makers state them",
) -> Markup:
    """Terminals as the makers state them, by name of device; of bars and points the file holds
    none: they are to be asked.
    """
    board = installation.board
    devices = {way.name: way for way in board.ways} | (
        {} if isinstance(board.main_switch, Absent) else {board.main_switch.name: board.main_switch}
    )
    said = in_nec_words if installation.rules == "nec" else str
    rows = [
        (
            _device_row(
                name,
                said(DEVICE_WORDS.get(str(devices[name].device), str(devices[name].device))),
                devices[name].terminals,
            )
            if name in devices
            else (
                said(
                    name.replace("-bar", " bar")
                    if name.endswith("-bar")
                    else PLACE_WORDS.get(name, name)
                ),
                *[_asked()] * 5,
            )
        )
        for name in names
    ]
    return table_html(TERMINAL_HEAD, rows, caption, "plain torque")


def _device_row(name: str, device: str, terminals: Terminals | Absent) -> tuple[str, ...]:
    title = Markup("{} <small>{}</small>").format(name, device)
    if isinstance(terminals, Absent):
        return (title, *[_asked()] * 5)
    torque = _torque(terminals)
    return (
        title,
        torque,
        _with("mm", terminals.strip_mm),
        _sizes(terminals),
        _with("", terminals.conductors),
        _ferrule(terminals.ferrule),
    )


def _torque(terminals: Terminals) -> str:
    if is_known(terminals.torque_nm):
        return _with("N·m", terminals.torque_nm)
    return _with("lbf·in", terminals.torque_lbf_in)


def _sizes(terminals: Terminals) -> str:
    if not (is_known(terminals.min_mm2) and is_known(terminals.max_mm2)):
        return _asked()
    return f"{figure_in_formula(terminals.min_mm2)} to {figure_in_formula(terminals.max_mm2)} mm²"


def _ferrule(ferrule: str | Absent) -> str:
    words = {"stranded-only": "on stranded conductors", "always": "always", "never": "never"}
    return words.get(ferrule, str(ferrule)) if isinstance(ferrule, str) else _asked()


def _with(unit: str, amount: Amount) -> str:
    if isinstance(amount, Absent):
        return "none" if amount == NONE else _asked()
    return f"{figure_in_formula(float(amount))} {unit}".strip()


def _asked() -> Markup:
    return tag("span", ASK_THE_MAKER, class_="chip")


def handover_part(installation: Installation) -> Markup:
    """What the user and the file keep.

    Common practice, except where a rule is named on the page.
    """
    points = ", ".join(point.name for point in installation.charging_points)
    if installation.rules == "nec":
        return _handover_nec(installation, points)
    items = [
        (
            "The certificate of the new circuit, with its inspection and test schedules, signed by"
            " those who designed, built and tested it."
        ),
        (
            f"The maker's instructions of the charging point ({points}) and of every device"
            " in the board."
        ),
        "The setting of the charging current, and who may change it.",
        (
            "What the indicator of the surge protective device shows when it is worn, and whom to"
            " call then."
        ),
        "How and how often to press the test button of the residual current device.",
        (
            "A chart of the board: what each way feeds, and what stays live when the main switch is"
            " off."
        ),
        "A copy of what was sent to the network operator.",
        "What was found of earthing conductor and main bonding, and what was done about it.",
        (
            "Where openings were sealed against fire, with what, and where a cable or a rod lies in"
            " the ground."
        ),
        (
            "The emergency number of this country, the network operator's and the installer's, with"
            " the address as it is told on the phone."
        ),
        (
            "What each function showed when it was tried: main switch, pilot states, lock, open-PEN"
            " device, limiter."
        ),
        "The day by which the installation should be inspected again, as its designer states.",
    ]
    if installation.load_limiter != NONE and is_known(installation.load_limiter):
        items.insert(
            3,
            "The limit set in the load limiter, where it measures, and what it does when its signal"
            " is lost.",
        )
    if any(
        is_known(point.bidirectional) and point.bidirectional
        for point in installation.charging_points
    ):
        items.insert(
            3,
            "A notice at the origin, at each board and at each place of isolation that a vehicle"
            " may feed back, and a copy of the network operator's consent to it.",
        )
    if installation.sources:
        names = ", ".join(str(source.name) for source in installation.sources)
        items.insert(
            3,
            f"A notice at the origin, at the meter, at each board and at each place of isolation"
            f" that more than the network feeds here ({names}); where each is isolated; and a copy"
            " of the network operator's consent to it.",
        )
    return list_html(items, "ticks")


def _handover_nec(installation: Installation, points: str) -> Markup:
    """The same for rule set nec.

    Common practice; the authority having jurisdiction says what must be filed.
    """
    items = [
        (
            "The circuit directory of the panel: what each breaker feeds, and what stays live when"
            " the main of the panel is off."
        ),
        (
            f"The label of the adjusted rating of the charging equipment ({points}), and"
            " who may change the setting."
        ),
        "The makers' manuals of the charging equipment and of every device in the panel.",
        "What the indicator of the surge protective device shows when it is worn.",
        (
            "The emergency number, the utility's and the installer's, and whom to call when"
            " something trips, smells, warms or is damaged."
        ),
        (
            "The permit and the record of inspection: ask the authority having jurisdiction what it"
            " wants kept and filed."
        ),
    ]
    if installation.load_limiter != NONE and is_known(installation.load_limiter):
        items.insert(
            2,
            "The limit set in the load management, where it measures, and what it does when its"
            " signal is lost.",
        )
    if any(
        is_known(point.bidirectional) and point.bidirectional
        for point in installation.charging_points
    ):
        items.insert(2, "A notice that a vehicle may feed back into the premises.")
    if installation.sources:
        names = ", ".join(str(source.name) for source in installation.sources)
        items.insert(2, f"A notice that more than the utility feeds here ({names}).")
    return list_html(items, "ticks")
