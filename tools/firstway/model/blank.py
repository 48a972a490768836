"""Model: an installation file to begin with, made from the declared keys: each with its help and an
example.

What a file must have stands there as its example says; all else is behind a `#` until it is wanted.
"""

from __future__ import annotations

from firstway.files.specs import Flag, Section, Sections, Spec, Word, WordList, specs_of
from firstway.model.installation import Installation

_HELP_COLUMN = 43
_Line = tuple[str, str]
"""What is written, and what is told of it behind a `#`."""


_HEAD = """\
An installation to begin with. What every file must say stands below, as examples: nothing passes
on them, for `known_by` at the end calls them assumed. Put your own values there, and take a part
out of `known_by` when all of it is yours.
All other keys are behind a `#`: take it away and give the value. Keep the column the key then has.
A key that is left out is not known. Most may also say `unknown`, some `none`, `choose` or
`undeclared`. Then run `check` on this file: it says what contradicts itself, what fails, and what
must be measured or asked.
"""


# What an example would be taken for a fact in: its name, and how its values are known.
_EXAMPLES = [
    name
    for name, spec in specs_of(Installation).items()
    if spec.required and isinstance(spec.kind, Section | Sections)
]
_OWN = {
    "title": "Not named yet",
    "known_by": f"{{{', '.join(f'{name}: assumed' for name in _EXAMPLES)}}}",
}


def blank_installation() -> str:
    """The text of the file: one circuit with one charging point, and every key there is."""
    above = [f"# {line}".rstrip() for line in _HEAD.splitlines()]
    lines = _lines(Installation, "", {}, False)
    keys = [f"{written:{_HELP_COLUMN}} # {told}" for written, told in lines]
    return "\n".join([*above, *keys]) + "\n"


def _lines(of: type, start: str, seen: dict[type, str], whole: bool) -> list[_Line]:
    """The keys of a section; `whole` where all of it is behind a `#` already. `seen` are the
    sections that were spelt out, each with its path.
    """
    lines: list[_Line] = []
    for name, spec in specs_of(of).items():
        stands = whole or spec.required or spec.in_blank or name == "known_by"
        own = _key_lines(name, spec, f"{start}{name}", seen, whole or not stands)
        lines += own if stands else _before(own, "# ", "# ")
    return lines


def _key_lines(name: str, spec: Spec, path: str, seen: dict[type, str], whole: bool) -> list[_Line]:
    kind = spec.kind
    if not isinstance(kind, Section | Sections):
        return [(f"{name}: {_OWN.get(name) or _value(spec)}", _told(spec))]
    if whole and kind.of in seen:
        return [(f"{name}: unknown", f"{_told(spec)}; its keys are those of {seen[kind.of]}")]
    seen.setdefault(kind.of, path)
    below = _lines(kind.of, f"{path}.", seen, whole)
    first, others = ("  ", "  ") if isinstance(kind, Section) else ("  - ", "    ")
    return [(f"{name}:", _told(spec)), *_before(below, first, others)]


def _before(lines: list[_Line], first: str, others: str) -> list[_Line]:
    """The lines moved to the right; an item begins with a dash."""
    return [
        (f"{others if place else first}{written}", told)
        for place, (written, told) in enumerate(lines)
    ]


def _value(spec: Spec) -> str:
    if spec.example:
        return spec.example
    return spec.kind.choices[0] if isinstance(spec.kind, Word) else "true"


def _told(spec: Spec) -> str:
    """One line of help: what it is, where, and what else may stand there."""
    where = f" ({spec.when})" if spec.when else ""
    return f"{spec.meaning}{where}" + "".join(f"; {each}" for each in _choices(spec))


def _choices(spec: Spec) -> list[str]:
    words = [each.value for each in spec.instead[1:]]
    if isinstance(spec.kind, Word | WordList):
        return [" | ".join((*spec.kind.choices, *words))]
    if isinstance(spec.kind, Flag):
        return [" | ".join(("true", "false", *words))]
    return [f"or {' | '.join(words)}"] if words else []
