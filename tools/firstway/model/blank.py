"""Model: an installation file to begin with."""

from __future__ import annotations

from firstway.files.blank_file import blank_text
from firstway.model.installation import Installation

_HEAD = """\
An installation to begin with. What every file must say stands below: put your own values there.
All other keys are behind a `#`: take it away and give the value. Keep the column the key then has.
A key that is left out is not known. Most may also say `unknown`, some `none`, `choose` or
`undeclared`. Then run `check` on this file: it says what contradicts itself, what fails, and what
must be measured or asked.
"""


def blank_installation() -> str:
    """The text of the file: one circuit with one charging point, and every key there is."""
    return blank_text(Installation, _HEAD)
