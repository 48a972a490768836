"""Files: what the reader of YAML refused, in our words; none of the parser's reaches a person."""

from __future__ import annotations

import yaml

from firstway.files.slips import slip_before
from firstway.problems import Problem


def problem_of_form(error: yaml.MarkedYAMLError, text: str, file: str) -> Problem:
    """The slip of the hand where one is seen; else what YAML refused, never in its own words."""
    what = error.problem or error.context or ""
    mark = error.context_mark if _OPEN_QUOTE in what else error.problem_mark or error.context_mark
    line = mark.line + 1 if mark else 1
    slip = slip_before(text, line)
    if slip is not None:
        return Problem(file, slip.line, slip.message, slip.hint)
    if (
        "cannot start any token" in what
        and error.problem_mark
        and not text[error.problem_mark.index :].startswith("\t")
    ):
        return Problem(
            file, line, f"a value cannot begin with `{text[error.problem_mark.index]}`", _QUOTED
        )
    message, hint = next(
        (words for part, words in _IN_OUR_WORDS.items() if part in what), _NO_WORDS
    )
    return Problem(file, min(line, text.count("\n") + 1), message, hint)


_OPEN_QUOTE = "unexpected end of stream"
_NO_WORDS = (
    "this line cannot be read",
    "check its indentation, its colons, brackets and quotes, and those of the line above",
)
_QUOTED = "put quotes around the value"
_IN_OUR_WORDS = {
    "'\\t'": ("a tab stands where only spaces can", "indent with spaces"),
    "mapping values are not allowed": (
        "a colon stands where none can",
        "put quotes around text that holds a colon; check the indentation above",
    ),
    "mapping keys are not allowed": (
        "a question mark stands where none can",
        "remove it, or put quotes around the text",
    ),
    "sequence entries are not allowed": (
        "a dash stands where no list can begin",
        "begin the list on a line of its own",
    ),
    "expected ',' or": (
        "a comma, or a closing bracket or brace, is missing",
        "check the brackets, braces and commas",
    ),
    "expected <block end>": (
        "this line does not fit the lines above",
        "check its indentation, and the brackets before it",
    ),
    "could not find expected ':'": ("a key has no colon", "write `key: value`"),
    "the node content": (
        "a value is missing before this place",
        "write it, or remove the comma or the bracket",
    ),
    "escape character": ("a backslash stands where none can", "use single quotes, or leave it out"),
    "escape sequence": ("a backslash stands where none can", "use single quotes, or leave it out"),
    "alphabetic or numeric": ("a value cannot begin with this sign", _QUOTED),
    "indentation indicator": (
        "after `|` or `>` the text begins on the next line",
        "put a line break there",
    ),
    "a comment or a line break": (
        "after `|` or `>` the text begins on the next line",
        "put a line break there",
    ),
    "tag handle": ("a value cannot begin with `!`", _QUOTED),
    "URI": ("a value cannot begin with `!`", _QUOTED),
    "document start": (
        "this line does not belong to what stands above",
        "check its indentation; remove lines that begin with %",
    ),
    "document separator": ("a quotation that begins above is not closed", "close it"),
    _OPEN_QUOTE: (
        "a quotation that begins here is not closed",
        "close it, or put the text in the other kind of quotes",
    ),
}
