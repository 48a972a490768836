"""Desk: the secret that makes issue codes.

Random, an input of `paper` like the class list, never printed.

An issue code shows that answers belong to the learner whose sheet they were saved from. It must not
follow from anything a learner holds: it is made from 256 random bits that stay in the desk's
folder.
"""

from __future__ import annotations

import hashlib
import hmac
import re
import secrets
from pathlib import Path

from firstway.files.disk import text_of_file
from firstway.problems import Problem

SECRET_FILE = "secret.txt"
_BITS = 256
_FORM = re.compile(rf"[0-9a-f]{{{_BITS // 4}}}\Z")


def new_secret() -> str:
    """A secret that nobody had before, as text."""
    return secrets.token_hex(_BITS // 8)


def secret_from(path: Path) -> tuple[str, list[Problem]]:
    """The secret that `paper` wrote into this file."""
    text, problems = text_of_file(path)
    if problems:
        return "", problems
    if not _FORM.match(text.strip()):
        return "", [
            Problem(
                path.as_posix(),
                0,
                "this is no secret of a desk",
                f"name the file {SECRET_FILE} of a folder `desk` that `paper` wrote",
            )
        ]
    return text.strip(), []


def issue_code(secret: str, paper: str, version: str, code: str) -> str:
    """What goes back with the answers of this learner to this edition of the paper."""
    words = "|".join(("issue", paper, version, code.casefold()))
    text = hmac.new(bytes.fromhex(secret), words.encode(), hashlib.sha256).hexdigest()
    return f"{text[:4]}-{text[4:8]}-{text[8:12]}"
