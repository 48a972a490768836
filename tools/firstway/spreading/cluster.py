"""Spreading: parts done by the workers of a Dask cluster that somebody has started."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from itertools import islice
from typing import Any, TypeVar

from firstway.files.keeping import program_digest
from firstway.problems import Problem, Problems

_Part = TypeVar("_Part")
_Result = TypeVar("_Result")
_AHEAD = 4  # parts a thread of a worker
_PATIENCE_S = 10.0  # to find a cluster, and between two looks whether it still has workers


def by_cluster(
    function: Callable[[_Part], _Result], parts: Iterable[_Part], address: str
) -> Iterator[_Result]:
    """What `function` gives of each part, in order. Raises `Problems` where the cluster cannot be
    used; what its workers could not do is done again here.
    """
    parts = iter(parts)
    with _client(address) as client:
        sent = client.scatter(function, broadcast=True, hash=False)
        ahead = _AHEAD * sum(client.nthreads().values())
        given: deque[tuple[_Part, Any]] = deque()
        while True:
            for part in islice(parts, ahead - len(given)):
                given.append((part, client.submit(_call, sent, part, pure=False)))
            if not given:
                return
            part, future = given.popleft()
            answer = _answer(client, future)
            yield answer[0] if answer else function(part)


def _call(function: Callable[[Any], Any], part: object) -> Any:
    return function(part)


def _answer(client: Any, future: Any) -> tuple[Any, ...]:
    """What came back, as a tuple of one; an empty one where nothing will."""
    while True:
        try:
            return (future.result(timeout=_PATIENCE_S),)
        except TimeoutError:
            if future.done() or not client.scheduler_info()["workers"]:
                return ()
        except Exception:  # of the function, or of the cluster: both show when it is done again
            return ()


def _client(address: str) -> Any:
    """A client of the cluster; its workers run the same program as this process."""
    try:
        from distributed import Client
    except ImportError:
        hint = (
            'write: .venv/bin/python -m pip install "dask[distributed]"; or name a number instead'
        )
        raise _refused("Dask is not installed", hint) from None
    try:
        client = Client(address, timeout=_PATIENCE_S, set_as_default=False)
    except (OSError, ValueError, TypeError) as error:  # the last where TLS has no certificates
        hint = "start it first; for tls:// name your certificates in Dask's distributed.comm.tls"
        raise _refused(f"no cluster answers at {address} ({error})", hint) from None
    try:
        client.wait_for_workers(1, timeout=_PATIENCE_S)
        programs = client.run(program_digest)
    except TimeoutError:
        programs = {}
    except Exception as error:
        programs = {address: str(error)}
    wrong = [worker for worker, program in programs.items() if program != program_digest()]
    if not programs or wrong:
        client.close()
        about = f"the worker {wrong[0]} runs another program" if wrong else "it has no workers"
        hint = "start its workers with PYTHONPATH set to this project's folder `tools`"
        raise _refused(f"the cluster at {address}: {about}", hint)
    return client


def _refused(wrong: str, hint: str) -> Problems:
    return Problems([Problem("--workers", 0, wrong, hint)])
