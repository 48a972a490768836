"""Drawing, pictures for the hands: all of them by id, and how one is made.

A new picture is a function in the module of its topic and a line here. `of` says what it is made
for: a device's terminals, a circuit's armour, or nothing, where its figures come from tables alone.
"""

from collections.abc import Callable, Iterable, Iterator

from firstway.choosing.completing import Completed
from firstway.drawing.hands.bar_order import bar_order
from firstway.drawing.hands.bars import bar_and_wire, bar_cut, bar_pitch, pin_and_fork
from firstway.drawing.hands.clamp_on_electrode import electrode_by_clamp
from firstway.drawing.hands.conductor_ends import crimps, ferrule_length, ferrules, one_screw
from firstway.drawing.hands.crimping import crimp_tool
from firstway.drawing.hands.dead_hook_ups import (
    insulation_test,
    polarity,
    protective_continuity,
    r1_plus_r2,
)
from firstway.drawing.hands.earth_hook_ups import bonding, electrode_by_stakes
from firstway.drawing.hands.earth_tag import earth_tag
from firstway.drawing.hands.figures import devices_with_terminals, terminal_figures
from firstway.drawing.hands.frame import Made, one_panel
from firstway.drawing.hands.glands import (
    gland_apart,
    gland_faults,
    gland_indoors,
    gland_of_circuit,
    gland_outdoors,
)
from firstway.drawing.hands.heat_in_row import heat_in_row
from firstway.drawing.hands.inside_point import (
    ac_and_dc_point,
    inside_point,
    pilot_states_picture,
)
from firstway.drawing.hands.laying_outdoors import entry_outdoors, guard, rod_place, trench
from firstway.drawing.hands.live_hook_ups import (
    electrode_by_loop,
    fault_current,
    loop_test,
    phase_order,
    residual_test_picture,
)
from firstway.drawing.hands.open_pen import open_pen_picture
from firstway.drawing.hands.openings import (
    after_drilling,
    bush,
    one_opening,
    stuffing,
    stuffing_parts,
)
from firstway.drawing.hands.proving_hook_ups import proving_dead, tried_by_adapter
from firstway.drawing.hands.residual_ring import residual_ring_picture
from firstway.drawing.hands.site_elevation import site_elevation
from firstway.drawing.hands.stripping import stripping
from firstway.drawing.hands.surge_device_seen import surge_device_picture
from firstway.drawing.hands.surge_leads import spd_leads
from firstway.drawing.hands.surge_stills import surge_by_ways, surge_with_and_without
from firstway.drawing.hands.terminations import (
    below_the_cage,
    clamp_picture,
    conductor_kinds,
    strip_length,
)
from firstway.drawing.hands.tightening import tightening
from firstway.drawing.hands.two_conductors import two_alike
from firstway.drawing.svg import Drawn, drawn_from
from firstway.files.plain_values import suggestion
from firstway.frozen import dataclass

NamesIn = Callable[[Completed], Iterable[str]]
Making = Callable[[Completed, str], "Made | str"]


@dataclass(frozen=True)
class HandPicture:
    """A picture by its id. Made for a device (`of_device`), for the armour of a circuit
    (`of_armour`) or for a part that `names` lists (`of_part`), it takes a job and that name; else
    it takes neither. Either way a picture that cannot be made says why in words.
    """

    id: str
    title: str
    topic: str
    make: Callable[[], Made | str] | None = None
    of_device: Making | None = None
    of_armour: Making | None = None
    of_part: Making | None = None
    names: NamesIn | None = None

    @property
    def of_job(self) -> Making | None:
        """What makes it for something in a job."""
        return self.of_device or self.of_armour or self.of_part


def _circuits(job: Completed) -> Iterable[str]:
    return [str(each.name) for each in job.installation.circuits]


def _points(job: Completed) -> Iterable[str]:
    return [str(each.name) for each in job.installation.charging_points]


def _electrodes(job: Completed) -> Iterable[str]:
    return [str(each.name) for each in job.installation.electrodes]


def _existing_boards(job: Completed) -> Iterable[str]:
    return [str(each.name) for each in job.installation.existing_boards]


def _surge_devices(job: Completed) -> Iterable[str]:
    return [each.name for each in job.installation.surge_ways]


def _board(job: Completed) -> Iterable[str]:
    return ("board",)


def _supply(job: Completed) -> Iterable[str]:
    return ("supply",)


def _test(id: str, title: str, make: Making, names: NamesIn) -> HandPicture:
    return HandPicture(id, title, TESTS_TOPIC, of_part=make, names=names)


TERMINATIONS, BARS, ENTRIES = "Terminations", "Bars", "Entries"
TESTS_TOPIC, OPEN_PEN_TOPIC = "Tests", "Open PEN"
SURGE_TOPIC, HEAT = "The surge", "Heat"
RESIDUAL = "Residual current"
POINT_TOPIC, SITE_TOPIC = "Point and vehicle", "Site"
PICTURE_TOPICS = (
    TERMINATIONS,
    BARS,
    ENTRIES,
    RESIDUAL,
    TESTS_TOPIC,
    OPEN_PEN_TOPIC,
    SURGE_TOPIC,
    HEAT,
    POINT_TOPIC,
    SITE_TOPIC,
)
TEST_PICTURES = (
    _test(
        "test-proving-dead", "Proving dead, the indicator before and after", proving_dead, _board
    ),
    _test("test-protective-conductor", "Protective conductor", protective_continuity, _board),
    _test("test-bonding", "Main bonding", bonding, _existing_boards),
    _test("test-r1-r2", "R1+R2", r1_plus_r2, _circuits),
    _test("test-insulation", "Insulation, the surge device handled", insulation_test, _circuits),
    _test("test-polarity", "Polarity", polarity, _circuits),
    _test("test-electrode", "Electrode by two stakes", electrode_by_stakes, _electrodes),
    _test("test-electrode-loop", "Electrode by its loop", electrode_by_loop, _electrodes),
    _test("test-fault-current", "Prospective fault current", fault_current, _supply),
    _test("test-loop", "Earth fault loop", loop_test, _circuits),
    _test("test-phase-sequence", "Phase sequence", phase_order, _circuits),
    _test("test-residual", "Residual device", residual_test_picture, _circuits),
    _test("test-adapter", "Point tried by an adapter", tried_by_adapter, _points),
)
PICTURES = (
    HandPicture("clamp", "A conductor in a rising clamp", TERMINATIONS, of_device=clamp_picture),
    HandPicture(
        "strip-length", "Stripped to length, and not", TERMINATIONS, of_device=strip_length
    ),
    HandPicture("stripped-end", "Stripped clean, and nicked", TERMINATIONS, of_device=stripping),
    HandPicture(
        "conductor-kinds",
        "Solid, stranded, fine strands",
        TERMINATIONS,
        of_device=conductor_kinds,
    ),
    HandPicture(
        "below-the-cage", "In the cage, and below it", TERMINATIONS, of_device=below_the_cage
    ),
    HandPicture("ferrules", "Ferrules by size", TERMINATIONS, ferrules),
    HandPicture(
        "ferrule-length", "A ferrule as long as the clamp asks", TERMINATIONS, ferrule_length
    ),
    HandPicture("crimps", "Crimped well, and not", TERMINATIONS, crimps),
    HandPicture("crimp-tool", "The crimping tool", TERMINATIONS, crimp_tool),
    HandPicture("one-screw", "One, two alike, two sizes under one screw", TERMINATIONS, one_screw),
    HandPicture("two-alike", "Two in one tunnel, in one cage", TERMINATIONS, two_alike),
    HandPicture("tightening", "Tighten, pull, mark", TERMINATIONS, of_device=tightening),
    HandPicture("pin-and-fork", "Pin and fork", BARS, pin_and_fork),
    HandPicture("bar-order", "A comb bar, in this order", BARS, bar_order),
    HandPicture("bar-pitch", "A bar of the devices' pitch", BARS, bar_pitch),
    HandPicture("bar-cut", "The end of a bar that was cut", BARS, bar_cut),
    HandPicture("bar-and-wire", "A tooth and a conductor in one terminal", BARS, bar_and_wire),
    HandPicture("gland-apart", "A gland taken apart, in order", ENTRIES, gland_apart),
    HandPicture("gland-indoors", "A gland for armour, indoors", ENTRIES, of_armour=gland_indoors),
    HandPicture(
        "gland-outdoors", "A gland for armour, outdoors", ENTRIES, of_armour=gland_outdoors
    ),
    HandPicture(
        "gland-faults", "A gland for armour, well and not", ENTRIES, of_armour=gland_faults
    ),
    HandPicture("earth-tag", "The earth tag on bare metal, and on paint", ENTRIES, earth_tag),
    HandPicture("stuffing-gland", "A stuffing gland", ENTRIES, stuffing),
    HandPicture("stuffing-parts", "A stuffing gland, its parts in order", ENTRIES, stuffing_parts),
    HandPicture("bush", "A bush in the hole", ENTRIES, bush),
    HandPicture("one-opening", "Line and neutral through steel", ENTRIES, one_opening),
    HandPicture("after-drilling", "After drilling", ENTRIES, after_drilling),
    HandPicture(
        "residual-ring",
        "What a residual current device compares",
        RESIDUAL,
        residual_ring_picture,
    ),
    *TEST_PICTURES,
    _test("test-electrode-clamp", "Electrode by a clamp", electrode_by_clamp, _electrodes),
    HandPicture(
        "open-pen",
        "The open PEN, before and after",
        OPEN_PEN_TOPIC,
        of_part=open_pen_picture,
        names=_supply,
    ),
    HandPicture(
        "surge-along-cable",
        "A surge along the cable, with the device and without",
        SURGE_TOPIC,
        of_part=surge_with_and_without,
        names=_points,
    ),
    HandPicture(
        "surge-by-way",
        "A surge along the cable, the device in the first way and in the last",
        SURGE_TOPIC,
        of_part=surge_by_ways,
        names=_points,
    ),
    HandPicture(
        "surge-device",
        "The surge device: label, path, window, lead",
        SURGE_TOPIC,
        of_part=surge_device_picture,
        names=_surge_devices,
    ),
    HandPicture(
        "spd-leads",
        "The leads of the surge device, well and not",
        SURGE_TOPIC,
        of_part=spd_leads,
        names=_surge_devices,
    ),
    HandPicture("heat-in-row", "Heat in a row of devices", HEAT, of_part=heat_in_row, names=_board),
    HandPicture("inside-point", "Between board and battery", POINT_TOPIC, inside_point),
    HandPicture("charger-place", "Where the charger stands", POINT_TOPIC, ac_and_dc_point),
    HandPicture(
        "pilot-states",
        "States of the pilot, and the contactor",
        POINT_TOPIC,
        of_part=pilot_states_picture,
        names=_points,
    ),
    HandPicture("site", "The site from the side", SITE_TOPIC, site_elevation),
    HandPicture("trench", "A cable in its trench", SITE_TOPIC, trench),
    HandPicture("rod-place", "Where a rod may go", SITE_TOPIC, rod_place),
    HandPicture("entry-outdoors", "A cable enters a point outdoors", SITE_TOPIC, entry_outdoors),
    HandPicture("guard", "A point where vehicles turn", SITE_TOPIC, guard),
)
BY_ID = {picture.id: picture for picture in PICTURES}
OF_FLAW = {
    "coiled": "surge-device",
    "cut-strands": "conductor-kinds",
    "discoloured": "tightening",
    "indicator-changed": "surge-device",
    "insulation-under-the-clamp": "strip-length",
    "plastic-gland": "gland-faults",
    "screw-not-tight": "tightening",
    "separate-openings": "one-opening",
    "tooth-beside-the-clamp": "below-the-cage",
    "two-sizes": "one-screw",
}
"""What a mistake shows, and the picture that tells how the work is done."""


def drawn_picture(
    picture: HandPicture, job: Completed | None, of: str, panel: str = ""
) -> tuple[Made, Drawn] | str:
    """The picture, or one panel of it by its letter, as values and as SVG; in words, why it cannot
    be made.
    """
    if picture.make is not None:
        made = picture.make()
    elif job is None or picture.of_job is None:
        return f"the picture '{picture.id}' is made for {made_for_what(picture)} of an installation"
    else:
        made = picture.of_job(job, of)
    if isinstance(made, str):
        return made
    if panel:
        if panel not in made.panels:
            return f"'{picture.id}' has no panel '{panel}', only {', '.join(made.panels)}"
        made = one_panel(made, panel)
    for_job = f"-{job.installation.name}-{of}" if job and picture.of_job else ""
    of_panel = f"-{panel}" if panel else ""
    return made, drawn_from(made.sheet, f"{picture.id}{for_job}{of_panel}")


def made_for(picture: HandPicture, job: Completed) -> Iterator[str]:
    """The names in a job that a picture can be made for."""
    if picture.of_device is not None:
        for device in devices_with_terminals(job):
            if not isinstance(terminal_figures(job, device.name), str):
                yield device.name
    if picture.of_armour is not None:
        for circuit in job.installation.circuits:
            if not isinstance(gland_of_circuit(job, circuit.name), str):
                yield circuit.name
    if picture.of_part is not None and picture.names is not None:
        for name in picture.names(job):
            if not isinstance(picture.of_part(job, name), str):
                yield name


def picture_of_flaw(job: Completed, flaw: str, of: str) -> tuple[Made, Drawn] | None:
    """How the work is done that a flaw spoils: made for the part `of` that has it, or for the
    first one that it can be made for.
    """
    picture = BY_ID.get(OF_FLAW.get(flaw, ""))
    if picture is None:
        return None
    named = [""] if picture.make else list(made_for(picture, job))
    if not named:
        return None
    part = of.removeprefix("opening.").partition(".")[0]
    found = drawn_picture(picture, job, part if part in named else named[0])
    return None if isinstance(found, str) else found


def made_for_what(picture: HandPicture) -> str:
    """What an author names after the installation."""
    if picture.of_part:
        return "a part"
    return "a device" if picture.of_device else "a circuit with an armoured cable"


def drawn_tests(job: Completed) -> Iterator[tuple[HandPicture, Made, Drawn]]:
    """One picture of each test that a job asks for, in the order of testing. Their ids are short
    ones: they stand on one page.
    """
    for place, picture in enumerate(TEST_PICTURES, 1):
        assert picture.of_part is not None and picture.names is not None
        for name in picture.names(job):
            made = picture.of_part(job, name)
            if not isinstance(made, str):
                yield picture, made, drawn_from(made.sheet, f"t{place}")
                break


def nearest(name: str) -> str:
    """What an author may have meant."""
    return suggestion(name, BY_ID) or f"known are: {', '.join(BY_ID)}"
