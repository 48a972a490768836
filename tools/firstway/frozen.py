"""Before everything: frozen dataclasses that cost little to declare.

The standard library writes, compiles and runs six functions for each of them, which was a quarter
of what a command took. Here only `__init__` is made so; the rest is shared. That nothing is
assigned to afterwards is seen by the type checker, for which these are the standard library's own.
"""

from __future__ import annotations

import dataclasses
from operator import attrgetter
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:

    def dataclass(of=None, /, *, frozen=False, **more):
        """The standard library's; what is frozen is compared, hashed and shown like it."""
        if not frozen or "order" in more:
            return dataclasses.dataclass(of, frozen=frozen, **more)
        return lambda of: _with_shared_methods(of, **more)


def _with_shared_methods(of: type, **more: bool) -> Any:
    of.__doc__ = of.__doc__ or of.__name__  # else it is made of the signature, which takes long
    own = dict(vars(of))
    made: Any = dataclasses.dataclass(repr=False, eq=False, **more)(of)
    items = dataclasses.fields(made)
    methods = {
        "__eq__": _equal,
        "__hash__": _hashed,
        "__repr__": _shown,
        "_compared": _getter([item.name for item in items if item.compare]),
        "_shown_names": tuple(item.name for item in items if item.repr),
    }
    for name, method in methods.items():
        if own.get(name) is None:
            setattr(made, name, method)
    return made


def _getter(names: list[str]) -> Any:
    # attrgetter of nothing is refused; a static method, for a plain function would be bound
    return staticmethod(attrgetter(*names) if names else lambda made: ())


def _equal(one: Any, other: Any) -> Any:
    if type(one) is not type(other):
        return NotImplemented
    return one._compared(one) == one._compared(other)


def _hashed(made: Any) -> int:
    return hash(made._compared(made))


def _shown(made: Any) -> str:
    told = ", ".join(f"{name}={getattr(made, name)!r}" for name in made._shown_names)
    return f"{type(made).__qualname__}({told})"
