"""Site: the theme's templates, compiled once: what was compiled of one lies in the cache folder,
and is used again while the template, the program and the libraries are the same.
"""

from __future__ import annotations

import os
from base64 import b64decode, b64encode
from collections.abc import Sequence

from jinja2 import BytecodeCache, Environment, FileSystemLoader
from jinja2.bccache import Bucket

from firstway.files.keeping import recalled, remember
from firstway.site.unchanged import surroundings

_KIND = "templates"


def quickened(env: Environment, folders: Sequence[str]) -> Environment:
    """The environment that fills templates of these folders, with what spares it work."""
    env.bytecode_cache = _Compiled()
    env.loader = _WithoutIcons(folders)
    return env


class _Compiled(BytecodeCache):
    def load_bytecode(self, bucket: Bucket) -> None:
        found = recalled(_KIND, bucket.key, _on(bucket), "")
        if isinstance(found, str):
            bucket.bytecode_from_string(b64decode(found))

    def dump_bytecode(self, bucket: Bucket) -> None:
        code = b64encode(bucket.bytecode_to_string()).decode("ascii")
        remember(_KIND, bucket.key, _on(bucket), code, "")


def _on(bucket: Bucket) -> str:
    return f"{surroundings()} {bucket.checksum}"


class _WithoutIcons(FileSystemLoader):
    """Lists no file of a folder that begins with a dot: ten thousand icons, of which mkdocs puts
    none into a guide.
    """

    def list_templates(self) -> list[str]:
        found = set[str]()
        for base in self.searchpath:
            for place, folders, names in os.walk(base):
                folders[:] = [name for name in folders if not name.startswith(".")]
                below = os.path.relpath(place, base).replace(os.sep, "/")
                found.update(name if below == "." else f"{below}/{name}" for name in names)
        return sorted(found)
