"""Rendering: what a page may run and load, as the element of its head that tells the browser
(Content Security Policy, level 3, W3C).
"""

from __future__ import annotations

import re
from base64 import b64encode
from hashlib import sha256

from firstway.rendering.html import Markup, tag

_OWN = re.compile(r"<(script|style)\b(?![^>]*\s(?:src|type)=)[^>]*>(.*?)</\1>", re.DOTALL)


def policy_html(frame: str, *, beside: bool = False, engine: bool = False) -> Markup:
    """The scripts and styles of `frame`, which holds nobody's words but ours and the theme's, are
    run; nothing else that stands in the page is. `beside`: the page loads files of its own folder.
    `engine`: it runs the program too, in a worker that is made of files it loaded.
    """
    files = ("'self'", "file:") if beside else ()  # browsers differ in what is itself on a disk
    found = [(kind, _hash(text)) for kind, text in _OWN.findall(frame)]
    scripts, styles = ([own for kind, own in found if kind == each] for each in ("script", "style"))
    allowed = {
        "default-src": (),
        "script-src": (*files, *scripts, *(_ENGINE if engine else ())),
        "style-src": (*files, *styles),
        "img-src": (*files, "data:"),
        "font-src": (*files, "data:"),
        **({"worker-src": ("blob:",)} if engine else {}),
        "base-uri": (),
        "form-action": (),
    }
    told = (f"{name} {' '.join(dict.fromkeys(each)) or _NONE}" for name, each in allowed.items())
    return tag("meta", http_equiv="Content-Security-Policy", content="; ".join(told))


_NONE = "'none'"
_ENGINE = ("blob:", "'wasm-unsafe-eval'")


def _hash(text: str) -> str:
    return f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'"
