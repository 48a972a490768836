"""Choosing: how many rods an electrode needs, fewest first."""

from dataclasses import replace

from firstway.checks.rule import Case
from firstway.checks.running import findings_of
from firstway.model.installation import Installation
from firstway.model.values import CHOOSE
from firstway.problems import Problem
from firstway.tables.reading import table
from firstway.workings.shared.step import RowRead

JUDGED_BY = "electrode-resistance"


def with_rods(
    installation: Installation, log: dict[str, tuple[RowRead, ...]]
) -> tuple[Installation, list[Problem]]:
    """Each electrode whose `rods` are left to choose gets the fewest that no finding calls fail or
    danger.
    """
    for item in installation.electrodes:
        if item.rods != CHOOSE:
            continue
        installation, problems = _chosen(installation, item.name, log)
        if problems:
            return installation, problems
    return installation, []


def _chosen(
    installation: Installation, name: str, log: dict[str, tuple[RowRead, ...]]
) -> tuple[Installation, list[Problem]]:
    path = f"electrodes.{name}.rods"
    rejected: list[RowRead] = []
    for rods in (1, *(int(row.number("rods")) for row in table("rods_in_line").rows)):
        tried = replace(
            installation,
            electrodes=tuple(
                replace(item, rods=rods) if item.name == name else item
                for item in installation.electrodes
            ),
        )
        case = Case(tried)
        step = case.step("electrode-resistance", name)
        findings = [finding for finding in findings_of(case, (JUDGED_BY,)) if finding.of == name]
        if step is None or step.value is None or not findings:
            ask = step.ask if step else "nothing says what this electrode must hold"
            return installation, [
                _problem(
                    installation,
                    path,
                    f"the number of rods cannot be chosen: {ask}",
                    "give the rods, or what is missing",
                )
            ]
        if not any(finding.level in ("fail", "danger") for finding in findings):
            log[path] = tuple(rejected)
            return tried, []
        because = next(
            finding.message for finding in findings if finding.level in ("fail", "danger")
        )
        rejected.append(
            RowRead(
                "",
                f"{rods} rod{'s' if rods > 1 else ''}: {step.value:.0f} Ω",
                float(rods),
                "",
                "",
                "",
                "",
                because,
            )
        )
    return installation, [
        _problem(
            installation,
            path,
            "no number of rods up to ten serves",
            "longer rods, another place, or another measure",
        )
    ]


def _problem(installation: Installation, path: str, message: str, hint: str) -> Problem:
    return Problem(installation.file, installation.lines_of.get(path, 1), message, hint)
