"""Spreading: who does the parts of long work: this process, processes of this computer, or the
workers of a cluster that somebody has started.
"""

from __future__ import annotations

import os
import re

from firstway.frozen import dataclass
from firstway.problems import Problem

_ADDRESS = re.compile(
    r"(?:(?P<by>\w+)://)?(?P<host>\[[0-9a-f:]+\]|[\w.-]+):(?P<port>\d{1,5})", re.A
)
_HERE = ("localhost", "127.0.0.1", "[::1]")
MOST_WORKERS = 256


@dataclass(frozen=True)
class Workers:
    """`number` processes of this computer, or the cluster at `address`."""

    number: int = 1
    address: str = ""


ONE_PROCESS = Workers()


def local_workers() -> Workers:
    """As many processes as this one has cores."""
    if hasattr(os, "sched_getaffinity"):
        return Workers(len(os.sched_getaffinity(0)))
    return Workers(os.cpu_count() or 1)


def workers_named(text: str) -> tuple[Workers, list[Problem]]:
    """The workers a user names: a number of processes, or the address of a cluster.

    Whoever listens at an address is sent our work and can send back anything, and whoever knows
    the address of a cluster can run code on it: so only this computer, or a connection on which
    both sides prove who they are.
    """
    if text.isdecimal() and 1 <= int(text) <= MOST_WORKERS:
        return Workers(int(text)), []
    found = _ADDRESS.fullmatch(text)
    way, host = (found["by"] or "tcp", found["host"]) if found else ("", "")
    if way == "tls" or (way == "tcp" and host in _HERE):
        return Workers(0, f"{way}://{host}:{found['port']}" if found else ""), []
    if way == "tcp":
        wrong = f"{host} is another computer, and over tcp:// anybody there can run code here"
        hint = "start the cluster with TLS and write tls://HOST:PORT, or start it on localhost"
    else:
        wrong = f"'{text}' is neither a number of processes nor an address"
        hint = f"write 1 to {MOST_WORKERS}, localhost:PORT, or tls://HOST:PORT"
    return ONE_PROCESS, [Problem("--workers", 0, wrong, hint)]
