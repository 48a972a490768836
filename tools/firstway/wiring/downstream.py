"""Wiring: what lies behind the board: circuits with their armour, charging points, the vehicle's
lead, electrodes.
"""

from collections.abc import Callable
from functools import partial

from firstway.model.installation import ChargingPoint, Circuit, Electrode, Installation
from firstway.model.values import NONE, Absent, is_known, path_of, place_of
from firstway.wiring.draft import Draft, age_of, ferrule_of
from firstway.wiring.graph import VEHICLE_LEAD, Part
from firstway.wiring.metal import Metal, bare_wire_c, metal_number, of_cable, stated_metal
from firstway.wiring.neutrals import neutral_of, passes_neutral
from firstway.wiring.upstream import METALS, metal_case

BOARD_ENDS, FAR_ENDS = ("board-end", "both-ends"), ("far-end", "both-ends")
"""Words of `armour_earthed` that earth the armour at the board, and at the point."""


def outlet(point: str, function: str) -> str:
    """Where a point hands a conductor on to the vehicle's lead."""
    return f"{point}.outlet.{function}"


def circuit_and_points(draft: Draft, circuit: Circuit) -> None:
    """The cores of a circuit from its way to its points, one after the other, and each point with
    the vehicle behind it.
    """
    points = draft.installation.points_of(circuit)
    functions = [str(line) for line in circuit.lines] + (["N"] if circuit.neutral is True else [])
    before: dict[str, str] = {}
    for place, point in enumerate(points):
        draft.parts.append(Part(point.name, "charging-point", 100, place="around", path=point.path))
        for function in functions:
            here = draft.add(f"{point.name}.{function}", point.name, function, "supply", "top")
            start = before[function] if place else _start(draft, circuit, function)
            draft.join(
                _named(circuit, function, place, point),
                start,
                here,
                function,
                "core",
                _core(draft, circuit, function),
                circuit.name,
                age_of(circuit.cable),
                ferrule_of(draft.installation.way_feeding(circuit.name)),
                _counted(circuit, place),
            )
            before[function] = here
        # what earths a point decides where the cable's protective conductor ends, and nothing
        # behind the point
        with draft.deciding():
            before["PE"] = _protective(draft, circuit, point, place, before.get("PE", ""))
        _vehicle(draft, point, functions)
    if points and circuit.cable.construction == "armoured" and circuit.cable.protective != "armour":
        _armour(draft, circuit, points[0])


def _start(draft: Draft, circuit: Circuit, function: str) -> str:
    way = draft.installation.way_feeding(circuit.name)
    if function == "N" and not passes_neutral(draft.installation, way):
        return neutral_of(draft, way)
    return f"{way.name}.load.{function}"


def _named(circuit: Circuit, function: str, place: int, point: ChargingPoint) -> str:
    return f"{circuit.name}.{function}.{point.name}" if place else f"{circuit.name}.{function}"


def _core(
    draft: Draft, circuit: Circuit, function: str, armour: bool = False
) -> Callable[[], Metal]:
    return partial(of_cable, draft.installation, circuit.name, function, armour)


def _counted(circuit: Circuit, place: int) -> str:
    """The route leads to the last of several points and is counted ahead of the first: no key says
    how it divides.
    """
    return place_of(circuit.route) if place else ""


def _protective(
    draft: Draft, circuit: Circuit, point: ChargingPoint, place: int, before: str
) -> str:
    """The protective conductor to a point; gives where the next point's begins, "" where the cable
    has none.
    """
    cable = circuit.cable
    own = draft.add(f"{point.name}.PE", point.name, "PE", "supply", "top")
    if cable.protective == NONE or cable.cpc_mm2 == NONE or cable.egc_awg == NONE:
        return ""
    armour = cable.protective == "armour"
    # Its own earth: the protective conductor of the cable is parked at the point, not joined to it.
    here = (
        draft.add(f"{point.name}.parked.PE", point.name, "PE", "supply", "top")
        if _apart(draft.installation, point)
        else own
    )
    far = (
        draft.add(f"{point.name}.armour", point.name, "PE", "supply", "top")
        if armour and free(cable.armour_earthed, FAR_ENDS)
        else here
    )
    start = before or (
        draft.add(f"{circuit.name}.armour", "earth-bar", "PE", "load")
        if armour and free(cable.armour_earthed, BOARD_ENDS)
        else draft.at_bar("earth-bar", "PE")
    )
    open_keys = [point.earthed_by, *([cable.armour_earthed] if armour else [])]
    draft.join(
        _named(circuit, "PE", place, point),
        start,
        far,
        "PE",
        "armour" if armour else "core",
        _core(draft, circuit, "PE", armour),
        circuit.name,
        age_of(cable),
        counted_in=_counted(circuit, place),
        doubt=tuple(key.path for key in open_keys if isinstance(key, Absent)),
    )
    return here


def _apart(installation: Installation, point: ChargingPoint) -> bool:
    """Whether a point stands on an earth of its own, or on none: not on that of the board."""
    if not is_known(point.earthed_by) or point.earthed_by == "supply":
        return False
    electrode = installation.electrode(str(point.earthed_by))
    return (
        point.earthed_by == "separated"
        or electrode is not None
        and electrode.use == "charging-point"
    )


def free(end: object, joined: tuple[str, ...]) -> bool:
    """Whether armour is known to end unjoined."""
    return is_known(end) and end not in joined


def _armour(draft: Draft, circuit: Circuit, point: ChargingPoint) -> None:
    """Armour beside a protective core, joined where the file says; where it says nothing, nobody
    knows.
    """
    earthed = circuit.cable.armour_earthed
    far = draft.add(f"{point.name}.armour", point.name, "PE", "supply", "top")
    near = (
        draft.at_bar("earth-bar", "PE")
        if earthed in BOARD_ENDS
        else draft.add(f"{circuit.name}.armour", "earth-bar", "PE", "load")
    )
    draft.join(
        f"{circuit.name}.armour",
        near,
        far,
        "PE",
        "armour",
        _core(draft, circuit, "PE", True),
        circuit.name,
        age_of(circuit.cable),
        doubt=(earthed.path,) if isinstance(earthed, Absent) else (),
    )
    if earthed in FAR_ENDS:
        # The gland joins the armour to the metal of the point.
        draft.join(f"{point.name}.gland", far, f"{point.name}.PE", "PE", "bar")


# The vehicle behind a point


def _vehicle(draft: Draft, point: ChargingPoint, functions: list[str]) -> None:
    """The point's outlet, its own lead, the plug and the metal of the vehicle; the metal case of
    the point where it has one.
    """
    vehicle = f"{point.name}.vehicle"
    draft.parts.append(Part(vehicle, "vehicle", 105, place="beyond", path=point.path))
    for function in (*functions, "PE"):
        start = draft.add(outlet(point.name, function), point.name, function, "load")
        end = draft.add(f"{point.name}.plug.{function}", vehicle, function)
        draft.join(
            f"{VEHICLE_LEAD}{point.name}.{function}",
            start,
            end,
            function,
            "core",
            partial(_lead_of_point, point, function),
        )
    body = draft.add(f"{vehicle}.PE", vehicle, "PE")
    draft.join(f"body.{point.name}", f"{point.name}.plug.PE", body, "PE", "bar")
    if is_known(point.enclosure) and point.enclosure.material in METALS:
        # Behind a device that opens the protective conductor the metal opens with the vehicle.
        metal_case(draft, point.name, point.enclosure, outlet(point.name, "PE"))


def _lead_of_point(point: ChargingPoint, function: str) -> Metal:
    """Its length stands in the file, its sizes only where the maker declares them."""
    key = "lead_protective_mm2" if function == "PE" else "lead_mm2"
    value, length = getattr(point, key), point.lead_m
    size = metal_number(value)
    missing = tuple(each.path for each in (value, length) if isinstance(each, Absent))
    return Metal(
        size,
        "" if size is None else f"{size:g} mm²",
        metal_number(length),
        bare_wire_c(),
        path_of(point, key),
        missing,
    )


# Earth electrodes


def electrodes(draft: Draft, item: Electrode) -> None:
    """An electrode and the wire to what it earths; one for measuring is joined to nothing."""
    draft.parts.append(Part(item.name, "electrode", 110, place="around", path=item.path))
    here = draft.add(f"{item.name}.PE", item.name, "PE", "both", "top")
    # A measured resistance is that at the end of the wire, taken off for the test (BS 7671
    # 643.7.2): the wire is in it. One worked from rods and soil is known to a third at best: the
    # wire's milliohms are in it too.
    counted = item.path
    metal = partial(stated_metal, draft.installation, item, "lead")
    if item.use in ("installation", "holds-down-open-pen", "board"):
        earth = draft.at_bar("earth-bar", "PE") if item.use == "board" else draft.main_earth
        draft.join(f"earthing.{item.name}", here, earth, "PE", "core", metal, counted_in=counted)
    elif item.use == "charging-point":
        for point in draft.installation.charging_points:
            if point.earthed_by == item.name:
                draft.join(
                    f"earthing.{item.name}.{point.name}",
                    here,
                    f"{point.name}.PE",
                    "PE",
                    "core",
                    metal,
                    counted_in=counted,
                )
