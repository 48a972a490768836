"""Quiz: every kind and form, found by its folder, and what is asked of a key whatever its form."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Mapping
from dataclasses import asdict, fields
from functools import cache
from pathlib import Path
from typing import Any, get_args, get_origin, get_type_hints

from firstway.quiz.forms.form import Form, QuestionKind
from firstway.quiz.marking.marking import Key, Mark

_FOLDERS = sorted(
    found.name for found in pkgutil.iter_modules([str(Path(__file__).parent)]) if found.ispkg
)
_MODULES = [importlib.import_module(f"firstway.quiz.forms.{name}.form") for name in _FOLDERS]
QUESTION_KINDS: dict[str, QuestionKind[Any]] = {
    module.KIND.name: module.KIND for module in _MODULES
}
FORMS: dict[str, Form[Any]] = {
    module.FORM.key.form: module.FORM for module in _MODULES if hasattr(module, "FORM")
}


def form_of(key: Key) -> Form[Any]:
    """The form of a key."""
    return FORMS[key.form]


def marked(key: Key, typed: str) -> Mark:
    """Mark one answer in the canonical writing of the key's form. Never raises."""
    return form_of(key).marked(key, typed)


def most_points(key: Key) -> int:
    """The most points an answer can get."""
    return form_of(key).most_points(key)


def data_of_key(key: Any) -> dict[str, Any]:
    """The key as plain data, for the page's script and for files of cases."""
    return {"kind": key.form, **asdict(key)}


def key_from_data(data: Mapping[str, Any]) -> Key:
    """The key from plain data that `data_of_key` wrote."""
    key: Key = _from_data(FORMS[data["kind"]].key, data)
    return key


def _from_data(kind: Any, data: Any) -> Any:
    """A frozen value from plain data, by the types of its fields."""
    if get_origin(kind) is tuple:
        return tuple(_from_data(get_args(kind)[0], each) for each in data)
    if hasattr(kind, "__dataclass_fields__"):
        return kind(**{name: _from_data(of, data[name]) for name, of in _field_types(kind)})
    return data


@cache
def _field_types(kind: Any) -> list[tuple[str, Any]]:
    hints = get_type_hints(kind)
    return [(field.name, hints[field.name]) for field in fields(kind)]
