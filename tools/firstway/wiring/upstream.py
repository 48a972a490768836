"""Wiring: what stands ahead of the board: service device, tails, origin, the devices of the feed,
and the earth it brings.

The supply's impedance is stated where `feed` begins (the origin): what stands ahead of it is
judged, can open and is a place of a fault, and adds no resistance.
"""

from functools import partial

from firstway.model.installation import (
    Amount,
    Board,
    BoardEnclosure,
    Enclosure,
    ExistingBoard,
    Feed,
    Installation,
    ResidualCurrentDevice,
    ServiceDevice,
)
from firstway.model.lines import residual_device_at_origin
from firstway.model.values import NONE, Absent, is_known, place_of
from firstway.wiring.draft import IN_ROUTE, IN_SUPPLY, IN_ZE, INSIDE, Draft, age_of
from firstway.wiring.graph import MAIN_EARTH, ORIGIN_EARTH, Part, PartKind, kind_of
from firstway.wiring.metal import Metal, metal_inside, of_cable, of_size, stated_metal

SERVICE, ISOLATOR, UPSTREAM_RCD = "service", "isolator", "upstream-rcd"
"""Names of the parts ahead of the origin."""
METALS = ("steel", "aluminium")
"""Materials of an enclosure that conduct."""
BONDED = "what is bonded leads to no source"
"""Where main bonding conductors are counted: in no loop."""


def ahead_of_origin(draft: Draft, lines: tuple[str, ...]) -> None:
    """Service device, tails, isolator and a residual current device, up to the terminals of the
    origin.
    """
    supply = draft.installation.supply
    functions = (*lines, "N")
    draft.parts.append(Part("origin", "origin", -2, place="around"))
    for function in functions:
        draft.add(f"origin.{function}", "origin", function, "load")
    device = supply.service_device
    kind = device.device if is_known(device) and is_known(device.device) else "fuse"
    before = _device(draft, SERVICE, kind_of(str(kind)), -9, device.path, functions)
    after: list[tuple[str, PartKind, int, str]] = []
    with draft.deciding():
        if supply.isolator is True:
            after.append((ISOLATOR, "isolator", -8, supply.path + ".isolator"))
        upstream = residual_device_at_origin(draft.installation)
        if is_known(upstream):
            after.append((UPSTREAM_RCD, "rcd", -7, upstream.path))
        for name, of, order, path in after:
            _device(draft, name, of, order, path, functions)
        _tails(draft, before, (*(name for name, *_ in after), "origin"), functions)


def _tails(draft: Draft, before: str, after: tuple[str, ...], functions: tuple[str, ...]) -> None:
    """The tails run from the service device to the first thing behind it; what follows stands
    beside it.
    """
    cable = draft.installation.supply.cable
    age = age_of(cable) if is_known(cable) else ""
    for place, name in enumerate(after):
        for function in functions:
            end = f"origin.{function}" if name == "origin" else f"{name}.supply.{function}"
            if place == 0:
                draft.join(
                    f"tail.{function}",
                    f"{before}.load.{function}",
                    end,
                    function,
                    "tail",
                    partial(of_cable, draft.installation, "supply", function),
                    "supply",
                    age,
                    counted_in=IN_SUPPLY,
                )
            else:
                draft.join(
                    f"link.{function}.{name}",
                    f"{before}.load.{function}",
                    end,
                    function,
                    "link",
                    partial(metal_inside, draft.installation, "supply"),
                    age=age,
                    counted_in=INSIDE,
                )
        before = name


def _device(
    draft: Draft, name: str, kind: PartKind, order: int, path: str, functions: tuple[str, ...]
) -> str:
    draft.parts.append(Part(name, kind, order, place="beyond", path=path))
    for function in functions:
        draft.add(f"{name}.supply.{function}", name, function, "supply")
        draft.add(f"{name}.load.{function}", name, function, "load")
    return name


# The devices of the feed


def feed_devices(draft: Draft, lines: tuple[str, ...]) -> str:
    """What the feed runs through, one after the other; gives the part its cores begin at."""
    feed, functions, before = draft.installation.feed, (*lines, "N"), "origin"
    if not is_known(feed):
        return before
    for order, (name, kind, path) in enumerate(devices_of_feed(draft.installation)):
        with draft.deciding():
            _device(draft, name, kind, order - 6, path, functions)
            for function in functions:
                start = f"origin.{function}" if before == "origin" else f"{before}.load.{function}"
                draft.join(
                    f"link.{function}.{name}",
                    start,
                    f"{name}.supply.{function}",
                    function,
                    "link",
                    partial(metal_inside, draft.installation, "feed"),
                    counted_in=IN_ROUTE,
                )
        before = name
    return before


def devices_of_feed(installation: Installation) -> tuple[tuple[str, PartKind, str], ...]:
    """Name, kind and path of every device the feed runs through, from the origin on."""
    feed = installation.feed
    if not is_known(feed):
        return ()
    found: list[tuple[str, PartKind, str]] = []
    for item in feed.through:
        if isinstance(item, ServiceDevice):
            kind = kind_of(str(item.device)) if is_known(item.device) else "fuse"
            found.append((f"feed-{kind}", kind, item.path))
        else:
            found += [
                (f"{item.partition('.')[0]}-rcd", "rcd", device.path)
                for device in _covering(installation, str(item))
            ]
    if feed.through and not isinstance(feed.through[-1], ServiceDevice):
        # The way itself opens too; its rating stands in no key.
        found.append(
            (
                f"{str(feed.through[-1]).partition('.')[0]}-way",
                "existing-way",
                place_of(feed.through),
            )
        )
    counts: dict[str, int] = {}
    named = []
    for name, kind, path in found:
        counts[name] = counts.get(name, 0) + 1
        named.append((name if counts[name] == 1 else f"{name}-{counts[name]}", kind, path))
    return tuple(named)


def _covering(installation: Installation, reference: str) -> list[ResidualCurrentDevice]:
    """Residual current devices of an existing board that cover the way a feed comes from."""
    name, _, way = reference.partition(".")
    return [
        device
        for board in installation.existing_boards
        if board.name == name
        for device in board.rcds
        if is_known(device.covers) and way in device.covers
    ]


def device_at(
    installation: Installation, part: Part
) -> ServiceDevice | ResidualCurrentDevice | None:
    """The section of a device ahead of the board; None where the file has none for it."""
    return device_at_path(installation, part.path)


def device_at_path(
    installation: Installation, path: str
) -> ServiceDevice | ResidualCurrentDevice | None:
    """The same by its path in the file."""
    supply, feed = installation.supply, installation.feed
    sections = [
        supply.service_device,
        supply.upstream_rcd,
        *(feed.through if is_known(feed) else ()),
        *(device for board in installation.existing_boards for device in board.rcds),
    ]
    return next(
        (
            each
            for each in sections
            if isinstance(each, (ServiceDevice, ResidualCurrentDevice)) and each.path == path
        ),
        None,
    )


# Earth


def main_earth(draft: Draft) -> None:
    """The main earthing terminal, the supply's earth where it brings one, and what is earthed there
    besides the board.
    """
    installation = draft.installation
    if installation.rules == "nec":
        # The equipment grounding conductor runs with the feeder from the grounding bus of the
        # existing panel (NFPA 70 250.32(B), 250.134; from memory).
        draft.add(ORIGIN_EARTH, "origin", "PE", "load")
    else:
        draft.parts.append(Part("met", "main-earthing-terminal", -1, place="around"))
        draft.add(MAIN_EARTH, "met", "PE")
        if installation.supply.system != "TT":
            draft.add(ORIGIN_EARTH, "origin", "PE", "load")
            draft.join(
                "earthing-conductor",
                ORIGIN_EARTH,
                MAIN_EARTH,
                "PE",
                "core",
                partial(stated_metal, installation, installation.supply, "earthing_conductor"),
                counted_in=IN_ZE,
            )
    for board in installation.existing_boards:
        with draft.deciding():
            _existing_board(draft, board)


def _existing_board(draft: Draft, board: ExistingBoard) -> None:
    """Its earth bar, its metal, and the main bonding conductors, which start at the same main
    earthing terminal.
    """
    installation, name = draft.installation, board.name
    draft.parts.append(Part(name, "existing-board", -5, place="beyond", path=board.path))
    bar = draft.add(f"{name}.PE", name, "PE")
    nec = installation.rules == "nec"
    # Where the feed begins at this board, Ze is stated there: the conductor is in it. A TT supply
    # has none.
    draft.join(
        f"earth.{name}",
        draft.main_earth,
        bar,
        "PE",
        "bar" if nec else "core",
        Metal if nec else partial(stated_metal, installation, board, "protective_conductor"),
        counted_in="" if installation.supply.system == "TT" else IN_ZE,
    )
    metal_case(draft, name, board.enclosure, bar)
    if not nec:
        _bonding(draft, board)


def _bonding(draft: Draft, board: ExistingBoard) -> None:
    _bonded(draft, board.name, board, board.main_bonding_mm2, draft.main_earth)


def bonding_at_board(draft: Draft) -> None:
    """Metal that enters the building of a detached board, bonded to its earth bar."""
    board = draft.installation.board
    if draft.installation.board_is_detached and board.extraneous_parts is True:
        _bonded(draft, "board", board, board.main_bonding_mm2, "earth-bar")


def _bonded(
    draft: Draft, of: str, section: ExistingBoard | Board, value: Amount, earth: str
) -> None:
    name = f"{of}-bonded"
    at_board = earth == "earth-bar"
    draft.parts.append(
        Part(
            name,
            "bonded-part",
            96 if at_board else -4,
            place="around" if at_board else "beyond",
            path=place_of(value),
        )
    )
    here = draft.add(f"{name}.PE", name, "PE")
    if value != NONE:
        draft.join(
            f"bonding.{of}",
            draft.at_bar(earth, "PE") if at_board else earth,
            here,
            "PE",
            "core",
            partial(of_size, draft.installation, section, "main_bonding_mm2"),
            counted_in=BONDED,
            doubt=(value.path,) if isinstance(value, Absent) else (),
        )


def metal_case(
    draft: Draft, name: str, enclosure: BoardEnclosure | Enclosure | Absent, bar: str
) -> None:
    """The enclosure of a part, where it is of metal or may be: a place that is touched, and what
    joins it to earth.
    """
    keys = (
        [enclosure, enclosure]
        if isinstance(enclosure, Absent)
        else [enclosure.material, enclosure.earthed_by]
    )
    material, earthed_by = keys
    if is_known(material) and material not in METALS:
        return
    part = "enclosure" if name == "board" else f"{name}.enclosure"
    draft.parts.append(Part(part, "enclosure", 95, place="beyond", path=enclosure.path))
    here = draft.add(f"{part}.PE", part, "PE")
    if is_known(material) and earthed_by == NONE:
        return
    doubt = tuple(dict.fromkeys(key.path for key in keys if isinstance(key, Absent)))
    if earthed_by == "conductor":
        start = draft.at_bar(bar, "PE") if bar == "earth-bar" else bar
        draft.join(
            f"earth.{part}",
            start,
            here,
            "PE",
            "link",
            partial(of_size, draft.installation, enclosure, "protective_mm2"),
            counted_in=INSIDE,
            doubt=doubt,
        )
    else:
        draft.join(
            f"earth.{part}",
            f"{bar}.1" if bar == "earth-bar" else bar,
            here,
            "PE",
            "bar",
            doubt=doubt,
        )


def start_of_protective(draft: Draft, cores_begin_at: str) -> str:
    """Where the protective conductor of the feed begins: with the other cores of its cable, or at
    the main earthing terminal.
    """
    installation = draft.installation
    feed = installation.feed
    if (
        installation.rules == "nec"
        or not is_known(feed)
        or not is_known(feed.cable)
        or feed.cable.protective not in ("core", "armour")
    ):
        return draft.main_earth
    board = _board_of(feed, installation)
    if board:
        return f"{board}.PE"
    if cores_begin_at == "origin":
        return draft.main_earth
    here = draft.add(f"{cores_begin_at}.PE", cores_begin_at, "PE")
    draft.join(
        f"earth.{cores_begin_at}",
        draft.main_earth,
        here,
        "PE",
        "link",
        partial(_as_feed, installation),
        counted_in=IN_ROUTE,
    )
    return here


def _as_feed(installation: Installation) -> Metal:
    """Common practice: the protective conductor to the device the cable comes from has the size of
    the cable's own.
    """
    whole = of_cable(installation, "feed", "PE")
    return Metal(whole.csa_mm2, whole.size, None, whole.operating_c, whole.path, whole.missing)


def _board_of(feed: Feed, installation: Installation) -> str:
    """The existing board a feed comes from."""
    if feed.from_ != "existing-board-way":
        return ""
    names = [board.name for board in installation.existing_boards]
    told = [
        str(item).partition(".")[0] for item in feed.through if not isinstance(item, ServiceDevice)
    ]
    return next((name for name in told if name in names), names[0] if len(names) == 1 else "")
