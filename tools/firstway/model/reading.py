"""Model: the text of a file to the typed installation, with every problem of the file at once."""

from __future__ import annotations

from dataclasses import replace

from firstway.files.typed_reader import section_from_yaml
from firstway.model.agreement import disagreements
from firstway.model.installation import Installation
from firstway.problems import Problem


def installation_from_yaml(
    text: str, file: str, name: str = ""
) -> tuple[Installation | None, list[Problem]]:
    """Read one installation.

    `file` is shown in problems; `name` identifies the installation on pages (the file's stem).
    Gives None with the problems when anything in the file must be put right first.
    """
    found, problems = section_from_yaml(text, file, Installation)
    if found is None:
        return None, problems
    installation = replace(found, name=name) if name else found
    problems = sorted(set(disagreements(installation)))
    return (None, problems) if problems else (installation, [])
