"""The Python of a page is fetched by tools/start.py: compared, then unpacked by name, or left."""

from __future__ import annotations

import hashlib
import io
import tarfile
from base64 import b64encode
from pathlib import Path

import pytest
import start


def packed(names: tuple[str, ...]) -> bytes:
    held = io.BytesIO()
    with tarfile.open(fileobj=held, mode="w:gz") as archive:
        for name in names:
            info = tarfile.TarInfo(name)
            info.size = 1
            archive.addfile(info, io.BytesIO(b"x"))
    return held.getvalue()


def brought(content: bytes, sha512: str, folder: Path, patch: pytest.MonkeyPatch) -> list[str]:
    said: list[str] = []

    def fetched(locked: dict[str, str]) -> Path:
        archive = folder / "p-1.tgz"
        archive.write_bytes(content)
        return archive

    patch.setattr(start, "WEB_FOLDER", folder)
    patch.setattr(start, "packed_by_npm", fetched)
    patch.setattr(start, "say", said.append)
    start.bring_engine({"package": "p@1", "folder": "p-1", "sha512": sha512})
    return said


def digest(content: bytes) -> str:
    return "sha512-" + b64encode(hashlib.sha512(content).digest()).decode()


WHOLE = tuple(f"package/{name}" for name in start.ENGINE_FILES)


def test_bring_engine__unpacks_what_is_on_record(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    content = packed((*WHOLE, "../out", "package/other"))
    assert brought(content, digest(content), tmp_path, monkeypatch) == []
    assert {each.name for each in tmp_path.rglob("*")} == {"p-1", *start.ENGINE_FILES}
    assert not (tmp_path.parent / "out").exists()


def test_bring_engine__refuses_what_is_not(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    said = brought(packed(WHOLE), digest(b"another"), tmp_path, monkeypatch)
    assert "not the one on record" in said[0] and list(tmp_path.iterdir()) == []


def test_bring_engine__half_a_package_is_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    content = packed(WHOLE[:3])
    assert len(brought(content, digest(content), tmp_path, monkeypatch)) == 1
    assert not (tmp_path / "p-1").exists()


def test_web_list__names_one_package_and_one_npm() -> None:
    locked = start.web_list()
    assert locked is not None and locked["package"].startswith("pyodide@")
    assert locked["sha512"].startswith("sha512-") and "==" in locked["npm"]
    assert len(locked["hashes"]) == 5 and all(len(each) == 71 for each in locked["hashes"])
