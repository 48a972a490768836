"""Site: the door of the preview. It answers its own address only, and no path that is none.

Any page that a browser has open may ask this computer for something; a page that gave its own name
this computer's address could read what is asked (DNS rebinding). Such requests bear the other name
as their Host.
"""

from __future__ import annotations

import ipaddress
from collections.abc import Callable, Iterable
from typing import Any

Responder = Callable[..., Any]
App = Callable[[dict[str, Any], Responder], Iterable[bytes]]
THIS_COMPUTER = ("localhost", "127.0.0.1", "::1")


def guarded(app: App, host: str, port: int) -> App:
    """The application behind a door that knows its own host and port."""

    def door(request: dict[str, Any], answer: Responder) -> Iterable[bytes]:
        if not is_own(request.get("HTTP_HOST", ""), host, port):
            return _refused(
                answer, "421 Misdirected Request", b"This preview answers at its own address only."
            )
        if "\0" in request.get("PATH_INFO", ""):
            return _refused(answer, "404 Not Found", b"There is no such page.")
        return app(request, answer)

    return door


def is_own(asked: str, host: str, port: int) -> bool:
    """Whether the Host of a request is this computer.

    >>> is_own("localhost:8000", "127.0.0.1", 8000)
    True
    >>> is_own("example.org:8000", "127.0.0.1", 8000)
    False
    >>> is_own("[::1]:8000", "127.0.0.1", 8000)
    True
    """
    name, colon, own_port = asked.rpartition(":")
    if not colon or own_port != str(port):
        return port == 80 and not colon and is_own(f"{asked}:80", host, port)
    name = name.strip("[]").lower()
    # Open to the local network on purpose, it may be asked for by any number; a name could be
    # anybody's.
    return (
        name in (*THIS_COMPUTER, host.lower()) or host in ("0.0.0.0", "::", "") and _is_number(name)
    )


def _is_number(name: str) -> bool:
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return False
    return True


def _refused(answer: Responder, status: str, words: bytes) -> Iterable[bytes]:
    answer(
        status, [("Content-Type", "text/plain; charset=utf-8"), ("Content-Length", str(len(words)))]
    )
    return [words]
