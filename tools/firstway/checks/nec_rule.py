"""Checks: nec: a rule of NFPA 70; the edition is asked of the file, never assumed, and the
authority decides.
"""

from __future__ import annotations

from firstway.checks.case import Case
from firstway.checks.finding import Level
from firstway.checks.rule import Rule
from firstway.frozen import dataclass

SEEN = ("2020", "2023")
AUTHORITY = "local code and the authority having jurisdiction decide"


@dataclass(frozen=True)
class NecRule(Rule):
    """A rule of rule set nec.

    Where the file's edition is not one whose wording was seen, the finding says so.
    """

    rule_sets: tuple[str, ...] = ("nec",)

    def _worded(self, case: Case, level: Level, message: str) -> str:
        edition = case.installation.edition
        if level in ("pass", "fail", "danger") and edition not in SEEN:
            return (
                f"{message} (read in the {self.edition} edition; confirm in the adopted text of"
                f" {edition})"
            )
        if level == "pass" and edition != self.edition:
            return f"{message} (as of NEC {self.edition}, confirm the adopted edition)"
        return message


def edition_year(case: Case) -> int:
    """The edition the file names as adopted."""
    return int(case.installation.edition)


def parts(case: Case) -> tuple[tuple[str, str], ...]:
    """The feed and each circuit, with the device that guards it."""
    return (
        ("feed", "feed"),
        *(
            (circuit.name, case.installation.way_feeding(circuit.name).name)
            for circuit in case.installation.circuits
        ),
    )
