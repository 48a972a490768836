"""Whether another source feeds the premises is stated, and every one is named.

Why: whoever opens the main switch, reads a loop or counts a fault current trusts that the network
is the only source. An inverter on the roof, a battery, a generator or a vehicle that feeds back
breaks that, and often nobody told whoever designs the charging point. Somebody must look: in the
roof, the garage, beside the meter, and at labels of the board.
A pass is never said: `other_sources: none` is what the file states. Not known: the file says
nothing, or not where a source feeds in. A fail: a point feeds back and the list does not name it.
"""

from firstway.checks.places import cable_not_described
from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import UNKNOWN, is_known

RULE = Rule(
    "other-sources",
    "Every source beside the network is named",
    "BS 7671 132.2, 551; IEC 60364-1 132.2; NFPA 70 705.10",
    "2018+A3:2024; 2005; 2020",
    "fail",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    job = case.installation
    if job.other_sources == UNKNOWN:
        yield RULE.does_not_know(
            case,
            "supply",
            "supply",
            "whether another source stands here (photovoltaic inverter, battery, generator, vehicle"
            " that feeds back) is not stated; look, and write `other_sources: none` or name each",
        )
    for source in case.each(job.sources):
        if not is_known(source.joined_at):
            yield RULE.does_not_know(
                case, source.name, source.name, f"where {source.name} feeds in; follow its cable"
            )
    if asked := cable_not_described(job):
        yield RULE.does_not_know(case, "board", "board", asked)
    named = {str(source.joined_at) for source in job.sources}
    for circuit in case.each(job.circuits):
        for point in job.points_of(circuit):
            way = job.way_feeding(circuit.name)
            if (
                point.bidirectional is True
                and job.other_sources != UNKNOWN
                and not named & {str(point.name), str(way.name)}
            ):
                yield RULE.says(
                    case,
                    "fail",
                    point.name,
                    point.name,
                    f"a vehicle can feed back through {point.name}, and `other_sources` does not"
                    " name it",
                    "not named",
                    "named",
                )
