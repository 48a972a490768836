"""Record: whether the papers of a job may go out or are a draft, and which questions are open."""

from __future__ import annotations

from firstway.checks.expecting import expected_readings
from firstway.checks.questions import MakerQuestion, questions
from firstway.checks.readings_beside import Beside, readings_beside
from firstway.checks.rule import Finding
from firstway.choosing.completing import Completed
from firstway.frozen import dataclass
from firstway.model.values import is_known
from firstway.rendering.html import sentence

# What is not known and keeps the papers a draft: rules about earthing, disconnection, an open PEN
# and the breaking capacity of devices. A danger or a fail of any rule does so too.
KEEPS_A_DRAFT: dict[str, str] = {
    "earthing": """
        means-of-earthing earth-bar-joined protective-path circuit-without-protective-conductor
        enclosure-earthed nec-grounding-conductor nec-neutral-not-bonded nec-rod armour-earthed
        protective-conductor protective-conductor-least earthing-conductor-size
        electrode-lead-size nec-electrode-conductor main-bonding-size network-earth-as-pme
        measuring-electrode electrode-resistance separate-earths two-earths-joined
        two-earths-in-contact rods-depth rods-spacing rods-below-ground separated-supply""",
    "disconnection": """
        fault-opens-in-time disconnection-time loop-impedance additional-protection-delay
        residual-current-at-the-point residual-type type-ac-ahead type-b-not-blinded
        built-in-residual direct-current-adds-up nec-personnel-protection nec-gfci
        line-and-neutral-open nec-opens-ungrounded reading-against-limit circuit-without-device
        line-without-device supply-loop-declared supply-loops-agree""",
    "an open PEN": """
        open-pen-outdoors open-pen-senses open-pen-standard open-pen-not-bypassed
        line-neutral-watch""",
    "breaking capacity": """
        breaking-capacity nec-interrupting-rating short-circuit-opens fault-survived
        assembly-fault-rating""",
}
_KEEPING = {rule: about for about, rules in KEEPS_A_DRAFT.items() for rule in rules.split()}


@dataclass(frozen=True)
class Standing:
    """`against` are the findings that make the papers a draft, the gravest first; `open` every
    question; `not_read` the tests of which no reading that passes stands in the file, each with
    what it lacks; `rules` the rule set, in whose words it is told.
    """

    against: tuple[Finding, ...]
    open: tuple[MakerQuestion, ...]
    not_read: tuple[str, ...]
    rules: str = ""

    @property
    def draft(self) -> bool:
        """Whether the board may not be energised by these papers."""
        return bool(self.against)


def standing_of(done: Completed) -> Standing:
    """What stands against a job, what is not known, and which readings are missing."""
    unknown = (each for each in done.findings if each.level == "unknown")
    return Standing(
        tuple(each for each in done.findings if _against(each)),
        questions(unknown, done.installation),
        tuple(_not_read(done)),
        done.installation.rules,
    )


def about(finding: Finding) -> str:
    """What an unknown is about that keeps a draft, as words; "" for others."""
    return _KEEPING.get(finding.id, "")


def _against(finding: Finding) -> bool:
    return finding.level in ("danger", "fail") or (
        finding.level == "unknown" and finding.id in _KEEPING
    )


def _not_read(done: Completed) -> list[str]:
    """Each test whose reading is missing, does not pass, or was made nobody knows when,
    with what, by whom.
    """
    expected = [each for each in expected_readings(done.case) if each.is_a_test]
    beside = readings_beside(done.case, tuple(expected))
    found = []
    for line in expected:
        of_it = [each for each in beside if each.expected == line]
        lacks = "no reading" if not of_it else "; ".join(filter(None, map(_lacks, of_it)))
        if lacks:
            pair = f", {' to '.join(line.between)}" if line.between else ""
            found.append(f"{line.test}, {line.of}{pair}: {lacks}")
    return [str(sentence(each)) for each in found]


def _lacks(beside: Beside) -> str:
    """What a reading lacks to stand on the user's sheet."""
    if beside.level != "pass":
        return f"{beside.level}: {beside.message}"
    reading = beside.taken.reading
    parts = {"day": reading.day, "instrument": reading.instrument, "who": reading.by}
    missing = [word for word, value in parts.items() if not is_known(value)]
    return f"not stated: {', '.join(missing)}" if missing else ""
