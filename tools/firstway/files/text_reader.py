"""Files: bytes on the disk to text, or a problem."""

from __future__ import annotations

from pathlib import Path

from firstway.problems import Problem


def text_of_file(path: Path, shown_as: str | None = None) -> tuple[str, list[Problem]]:
    """Read a UTF-8 file; give its text (empty when unreadable) and any problem."""
    name = shown_as or path.as_posix()
    try:
        return path.read_bytes().decode("utf-8-sig"), []
    except FileNotFoundError:
        return "", [Problem(name, 0, "there is no such file", "check the path")]
    except IsADirectoryError:
        return "", [Problem(name, 0, "this is a folder, not a file", "name a file in it")]
    except UnicodeDecodeError as error:
        line = error.object[: error.start].count(b"\n") + 1
        return "", [Problem(name, line, "the file is not UTF-8 text", "save it as UTF-8")]
    except ValueError:  # a name that holds a zero character
        return "", [Problem(name, 0, "no file can have this name", "check the path")]
    except OSError as error:
        return "", [Problem(name, 0, f"the file cannot be read ({error.strerror})", "check its permissions")]
