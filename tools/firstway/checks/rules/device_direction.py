"""A device that carries current both ways must be made for it.

Why: a vehicle that feeds back, or another source on a way, turns the load into a source. A device
made for one direction may then fail to open, or be destroyed when it opens. The circuit is then
live from both sides: each source is isolated before work, and labels say so. A source on the bars
does the same to the devices ahead of the board; a fuse has no direction.
A pass: nothing feeds back; or it does and the device is declared for both directions. A
fail: it feeds back through a one-way device. Not declared: ask the maker.
"""

from collections.abc import Iterator

from firstway.checks.devices import overcurrent_devices_ahead
from firstway.checks.places import residual_devices_ahead_of_board
from firstway.checks.rule import Case, Finding, Findings, Rule, if_known
from firstway.model.installation import Circuit, OtherSource, Way
from firstway.workings.shared.other_sources import on_the_board

RULE = Rule(
    "device-direction",
    "The device is made for the direction of the current",
    "BS 7671 530.3.201; IEC 60364-5-53 530 (from memory)",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)
_NO_DIRECTION = ("fuse", "switch-fuse")


def check(case: Case) -> Findings:
    job = case.installation
    for circuit in case.each(job.circuits):
        way = job.way_feeding(circuit.name)
        on_it = [each for each in job.sources if each.joined_at == way.name]
        for source in on_it:
            yield _both_ways(case, circuit, way, f"{source.name} feeds")
        for point in case.each(job.points_of(circuit)):
            feeds = any(each.joined_at == point.name for each in job.sources)
            if feeds or point.bidirectional is True:
                yield _both_ways(case, circuit, way, f"{point.name} feeds back")
            elif point.bidirectional is not False:
                yield RULE.does_not_know(
                    case,
                    circuit.name,
                    way.name,
                    f"whether {point.name} can feed back from a vehicle; ask its maker",
                )
            elif not on_it:
                yield RULE.passes(
                    case,
                    circuit.name,
                    way.name,
                    f"{point.name} does not feed back: either kind of device serves",
                    "one way",
                    "one way",
                )
    yield from _ahead(case)


def _both_ways(case: Case, circuit: Circuit, way: Way, feeds: str) -> Finding:
    if way.bidirectional is True:
        return RULE.passes(
            case,
            circuit.name,
            way.name,
            f"{way.name} is declared for both directions",
            "both ways",
            "both ways",
        )
    if way.bidirectional is False:
        return RULE.says(
            case,
            "fail",
            circuit.name,
            way.name,
            f"{feeds} through {way.name}, which is made for one direction",
            "one way",
            "both ways",
        )
    return RULE.does_not_know(
        case,
        circuit.name,
        way.name,
        f"whether {way.name} is made for both directions; an unmarked device"
        " says nothing, ask its maker",
        "both ways",
    )


def _ahead(case: Case) -> Iterator[Finding]:
    """Devices ahead of the board that a source in it feeds back through; what stands ahead of a
    board that was there before is not told one by one.
    """
    job = case.installation
    boards = {str(board.name) for board in job.existing_boards}
    for source in case.each(job.sources):
        if source.joined_at in boards:
            yield _declared(
                case,
                source,
                str(source.joined_at),
                f"the devices of {source.joined_at} that {source.name} feeds through",
            )
    breakers = [
        (of, words)
        for of, words, device in overcurrent_devices_ahead(job)
        if device.device not in _NO_DIRECTION
    ]
    residual = [("feed", each.name) for each in residual_devices_ahead_of_board(job)]
    for of, words in (*breakers, *residual):
        for source in case.each(on_the_board(job)):
            yield _declared(case, source, of, f"{words}, which {source.name} feeds back through,")


def _declared(case: Case, source: OtherSource, of: str, devices: str) -> Finding:
    """What the file says of all devices that a source feeds back through."""
    both = source.bidirectional_devices
    return RULE.decides(
        case,
        of,
        of,
        if_known(both is True, both),
        found="one way",
        wanted="both ways",
        holds=f"{devices} are declared for both directions",
        breaks=f"{devices} are made for one direction: one may fail to open, or be destroyed",
        ask=f"whether {devices} are made for both directions; read their marks, ask their makers",
        held="both ways",
    )
