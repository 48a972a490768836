"""A run that dies, or whose disk fails, at its n-th write: an audit hook of Python counts what
changes the disk.

python dying.py WAY N COMMAND ...     runs firstway; WAY is kill or fail
python dying.py count 0 COMMAND ...   prints how many writes a whole run makes, last line of
                                      standard error
"""

from __future__ import annotations

import errno
import os
import signal
import sys
from collections.abc import Callable

WRITES = {
    "os.rename",
    "os.mkdir",
    "os.remove",
    "os.rmdir",
    "os.link",
    "os.symlink",
    "os.truncate",
    "os.chmod",
    "shutil.copyfile",
    "shutil.rmtree",
}
WRITING = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC | os.O_APPEND


def is_write(event: str, arguments: tuple) -> bool:
    """Whether an audit event is about to change the disk. Compiled modules do not count."""
    if event == "open":
        path, _, flags = arguments
        named = not isinstance(path, int)  # a pipe that is open already is no new file
        return (
            named
            and isinstance(flags, int)
            and bool(flags & WRITING)
            and "__pycache__" not in str(path)
            and str(path) != os.devnull
        )
    return event in WRITES and "__pycache__" not in str(arguments)


def die_at(number: int, way: str) -> Callable[[], int]:
    """From now on the n-th write (from 1) kills this process, or fails as on a full disk.

    Gives the count so far.
    """
    seen = 0

    def hook(event: str, arguments: tuple) -> None:
        nonlocal seen
        if not is_write(event, arguments):
            return
        seen += 1
        if way == "kill" and seen == number:
            os.kill(os.getpid(), signal.SIGKILL)
        # A disk that is full takes no new file, but lets one be renamed or removed.
        if (
            way == "fail"
            and seen >= number
            and event in ("open", "os.mkdir", "os.link", "shutil.copyfile")
        ):
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), str(arguments[0]))

    sys.addaudithook(hook)
    return lambda: seen


def main() -> int:
    way, number, *command = sys.argv[1:]
    # imports compile modules; the count begins behind them
    import mkdocs.commands.build  # noqa: F401

    from firstway import cli

    count = die_at(int(number), way)
    code = cli.main(command)
    if way == "count":
        print(count(), file=sys.stderr)
    return code


if __name__ == "__main__":
    sys.exit(main())
