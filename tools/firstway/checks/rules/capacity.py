"""The cable must carry at least the rated current of the device that guards it.

Why: a device does not know how hot the cable is. If its rated current is above what the cable can
carry where it is run, the cable can overheat for hours while the device sees nothing wrong, and a
charging point draws its full current for hours.
A pass: a 40 A device on a cable that carries 47 A where it is run.
A fail: the same device on a cable that carries 23.5 A in an insulated wall; or one too thin even
where all that is still unknown of its route is at its best.
"""

from collections.abc import Sequence

from firstway.checks.at_best import most_it_could_carry
from firstway.checks.rule import Case, Findings, Rule, of_step, within
from firstway.model.installation import Cable, Circuit, Feed, Stretch
from firstway.model.values import Absent, key_of

RULE = Rule(
    "capacity",
    "The cable carries at least the device's rated current",
    "BS 7671 433.1.1; IEC 60364-4-43 433.1",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)
TOO_LITTLE = "the cable carries less than the rated current of its device"


def check(case: Case) -> Findings:
    for of in case.each(("feed", *(circuit.name for circuit in case.installation.circuits))):
        carried = of_step(
            case, "corrected-capacity", of, "how the board is fed: cable, size, route"
        )
        rating = of_step(case, "device-rating", of)
        most = _at_best(case, of) if carried.value is None and rating.value is not None else None
        if most is not None and rating.value is not None and not within(rating.value, most):
            yield RULE.says(
                case,
                "fail",
                of,
                of,
                f"{TOO_LITTLE}, even with all that is not known of its route at its best",
                most,
                rating.value,
                "A",
            )
        else:
            yield RULE.compares(
                case,
                of,
                of,
                carried,
                rating,
                "A",
                "the cable carries the rated current of its device where it is run",
                f"{TOO_LITTLE}: it can overheat unseen",
                at_most=False,
            )


def _at_best(case: Case, of: str) -> float | None:
    job = case.installation
    if of == "feed":
        return most_it_could_carry(job, *_run(job.feed), 3 if job.supply.phases == 3 else 2)
    circuit = job.circuit(of)
    return most_it_could_carry(job, *_run(circuit), 3 if len(circuit.lines) == 3 else 2)


def _run(part: Feed | Circuit | Absent) -> tuple[Cable | Absent, Sequence[Stretch]]:
    return key_of(part, "cable"), getattr(part, "route", ())
