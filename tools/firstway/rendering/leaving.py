"""Rendering: figures as they leave the program, with 12 significant digits: in JSON, keys, packages
and attributes.

Inside, figures keep every digit and are compared so. What the last digits of a float say comes from
the order of additions, not from the installation, and would differ from one computer to the next.
"""

from __future__ import annotations

import json
from typing import Any

DIGITS = 12


def digits(value: float) -> str:
    """A number as text.

    >>> digits(0.1 + 0.2), digits(230 * 1.1), digits(16.0)
    ('0.3', '253', '16')
    """
    return f"{value:.{DIGITS}g}"


def leaving(data: Any) -> Any:
    """Plain data with every float in it rounded."""
    if isinstance(data, float):
        return float(digits(data))
    if isinstance(data, dict):
        return {key: leaving(value) for key, value in data.items()}
    return [leaving(each) for each in data] if isinstance(data, (list, tuple)) else data


def json_text(data: Any, **form: Any) -> str:
    """Data as JSON; `form` as for `json.dumps`."""
    return json.dumps(leaving(data), **form)
