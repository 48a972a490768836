"""Debian's Firefox as a reader has it: pages from file://, no network, its strict rule for local
files on; driven by WebDriver BiDi (W3C).

Under automation Firefox switches security.fileuri.strict_origin_policy off; with it off, a page may
read its neighbours, which a reader's browser forbids. Here the recommended settings of automation
are refused, so the rule stays on.
"""

from __future__ import annotations

import json
import os
import queue
import re
import shutil
import subprocess
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

COMMANDS = ("firefox-esr", "firefox")
LOCAL_SCHEMES = ("file:", "data:", "blob:", "about:", "resource:", "chrome:", "moz-")
NOWHERE = "127.0.0.1"
SETTINGS = {
    "remote.prefs.recommended": False,  # see above
    "security.fileuri.strict_origin_policy": True,
    # No network: whatever is asked for goes to a port where nobody listens.
    "network.proxy.type": 1,
    "network.proxy.http": NOWHERE,
    "network.proxy.http_port": 9,
    "network.proxy.ssl": NOWHERE,
    "network.proxy.ssl_port": 9,
    "network.proxy.socks": NOWHERE,
    "network.proxy.socks_port": 9,
    "network.proxy.allow_hijacking_localhost": False,
    "network.captive-portal-service.enabled": False,
    "network.connectivity-service.enabled": False,
    "app.update.enabled": False,
    "browser.shell.checkDefaultBrowser": False,
    "browser.startup.page": 0,
    "browser.aboutwelcome.enabled": False,
    "datareporting.policy.dataSubmissionEnabled": False,
    "datareporting.healthreport.uploadEnabled": False,
    "toolkit.telemetry.reportingpolicy.firstRun": False,
    "termsofuse.acceptedVersion": 999,
    "browser.contentblocking.introCount": 99,
    "extensions.autoDisableScopes": 0,
    "browser.download.folderList": 2,
    "browser.download.useDownloadDir": True,
    "browser.download.always_ask_before_handling_new_types": False,
    "browser.download.alwaysOpenPanel": False,
    "layout.css.prefers-color-scheme.content-override": 1,
    # Whether a page may be left is not asked: Firefox 140 would wait for an answer.
    "dom.disable_beforeunload": True,
}
# A file that is missing raises an event on its element alone, which no page listens to.
WATCH = """() => { addEventListener("error", event => { const from = event.target;
    if (from && from !== window) console.error("cannot load " + (from.src || from.href || from.tagName)); }, true); }"""
KEYS = {
    "Tab": "\ue004",
    "Enter": "\ue007",
    "Space": " ",
    "ArrowDown": "\ue015",
    "ArrowUp": "\ue013",
    "Escape": "\ue00c",
}


def firefox_path() -> str | None:
    """The Firefox that the tests drive, or None."""
    return next(filter(None, map(shutil.which, COMMANDS)), None)


class Firefox:
    """One window.

    `troubles` holds one line for each request beyond the file system, failed request, script error
    and console error.
    """

    def __init__(self, socket: Any, downloads: Path) -> None:
        self.socket, self.downloads = socket, downloads
        self.troubles: list[str] = []
        self._number = 0
        self._answers: queue.Queue[dict[str, Any]] = queue.Queue()
        self._ours: set[str] = set()  # the window's page and its frames
        threading.Thread(target=self._listen, daemon=True).start()
        self.about = self.call("session.new", capabilities={})["capabilities"]
        self.call(
            "session.subscribe",
            events=[
                "log.entryAdded",
                "network.beforeRequestSent",
                "network.fetchError",
                "browsingContext.contextCreated",
            ],
        )
        self.call("script.addPreloadScript", functionDeclaration=WATCH)
        self.tab = self.call("browsingContext.create", type="window")[
            "context"
        ]  # the first window of a headless start never has the focus
        self._ours.add(self.tab)
        self.call("browsingContext.activate", context=self.tab)

    def _listen(self) -> None:
        for text in self.socket:
            message = json.loads(text)
            if message.get("type") == "event":
                self._happened(message["method"], message["params"])
            else:
                self._answers.put(message)

    def _happened(self, method: str, said: dict[str, Any]) -> None:
        if method == "browsingContext.contextCreated":
            if said.get("parent") in self._ours:
                self._ours.add(said["context"])
            return
        if method == "log.entryAdded":
            # Firefox 140 makes an error of its own on the empty page of each new window, at times
            # after the window is ours; it comes from no script
            ours = said["source"].get("context") in self._ours and said.get("stackTrace")
            if said["level"] == "error" and ours:
                self.troubles.append(f"{said['type']} error: {said['text']}")
            return
        address = said["request"]["url"]
        if not address.startswith(LOCAL_SCHEMES):
            self.troubles.append(f"outside request: {address}")
        elif method == "network.fetchError" and "ABORT" not in said.get("errorText", ""):
            self.troubles.append(f"failed request: {address} ({said.get('errorText')})")

    def call(self, method: str, **given: Any) -> dict[str, Any]:
        """One command of the standard; its result."""
        self._number += 1
        self.socket.send(json.dumps({"id": self._number, "method": method, "params": given}))
        answer = self._answers.get(timeout=90)
        if answer.get("type") == "error":
            raise AssertionError(f"{method}: {answer.get('error')}: {answer.get('message')}")
        assert answer["id"] == self._number
        return answer["result"]

    def size(self, width: int, height: int) -> None:
        self.call(
            "browsingContext.setViewport",
            context=self.tab,
            viewport={"width": width, "height": height},
        )

    def show(self, path: Path, fragment: str = "") -> None:
        self.call(
            "browsingContext.navigate",
            context=self.tab,
            url=path.resolve().as_uri() + (f"#{fragment}" if fragment else ""),
            wait="complete",
        )

    def reload(self) -> None:
        self.call("browsingContext.reload", context=self.tab, wait="complete")

    def ask(self, script: str) -> Any:
        """The value of a script's expression, by way of JSON; a promise is awaited."""
        wrapped = f"(async () => JSON.stringify(await ({script})))()"
        found = self.call(
            "script.evaluate",
            expression=wrapped,
            target={"context": self.tab},
            awaitPromise=True,
            userActivation=True,
        )
        assert found["type"] == "success", found.get("exceptionDetails", {}).get("text")
        return json.loads(found["result"].get("value") or "null")

    def wait(self, script: str, seconds: float = 15) -> None:
        """Until the expression holds."""
        end = time.monotonic() + seconds
        while not self.ask(script):
            assert time.monotonic() < end, f"waited in vain for {script}"
            time.sleep(0.05)

    def press(self, *keys: str, shift: bool = False) -> None:
        """Keys one after the other, by name or as the sign itself."""
        signs = [KEYS.get(key, key) for key in keys]
        actions = [{"type": kind, "value": sign} for sign in signs for kind in ("keyDown", "keyUp")]
        if shift:
            actions = [
                {"type": "keyDown", "value": "\ue008"},
                *actions,
                {"type": "keyUp", "value": "\ue008"},
            ]
        self.call(
            "input.performActions",
            context=self.tab,
            actions=[{"type": "key", "id": "keyboard", "actions": actions}],
        )

    def reach(self, selector: str, most: int = 400) -> None:
        """Press Tab until what matches has the focus."""
        for _ in range(most):
            if self.ask(f"document.activeElement.matches({json.dumps(selector)})"):
                return
            self.press("Tab")
        raise AssertionError(f"no way to {selector} by Tab")

    def choose_file(self, selector: str, path: Path) -> None:
        found = self.call(
            "browsingContext.locateNodes",
            context=self.tab,
            locator={"type": "css", "value": selector},
        )["nodes"]
        assert found, f"nothing matches {selector}"
        self.call(
            "input.setFiles",
            context=self.tab,
            element={"sharedId": found[0]["sharedId"]},
            files=[str(path)],
        )

    def downloaded(self, seconds: float = 20) -> Path:
        """The one file that was saved since the last time; it is taken out of the folder."""
        end = time.monotonic() + seconds
        while True:
            files = [
                path
                for path in self.downloads.iterdir()
                if path.suffix != ".part" and path.stat().st_size
            ]
            if files and not list(self.downloads.glob("*.part")):
                taken = self.downloads.parent / f"taken-{self._number}-{files[0].name}"
                return files[0].rename(taken)
            assert time.monotonic() < end, "nothing was saved"
            time.sleep(0.05)


@contextmanager
def started(folder: Path) -> Iterator[Firefox]:
    """A Firefox with a fresh profile in the folder; ended at the end."""
    from websockets.sync.client import connect

    profile, downloads = folder / "profile", folder / "downloads"
    profile.mkdir(parents=True)
    downloads.mkdir()
    settings = {**SETTINGS, "browser.download.dir": str(downloads)}
    (profile / "user.js").write_text(
        "".join(
            f"user_pref({json.dumps(name)}, {json.dumps(value)});\n"
            for name, value in settings.items()
        ),
        encoding="utf-8",
    )
    command = [
        firefox_path() or "",
        "--headless",
        "--no-remote",
        "--profile",
        str(profile),
        "--remote-debugging-port",
        "0",
        "about:blank",
    ]
    log = folder / "firefox.txt"
    with log.open("w", encoding="utf-8") as out:
        process = subprocess.Popen(
            command,
            stdout=out,
            stderr=subprocess.STDOUT,
            env={**os.environ, "HOME": str(folder), "MOZ_CRASHREPORTER_DISABLE": "1"},
        )
    try:
        end = time.monotonic() + 90
        while not (
            ready := re.search(
                r"WebDriver BiDi listening on (ws://\S+)",
                log.read_text(encoding="utf-8", errors="replace"),
            )
        ):
            assert process.poll() is None and time.monotonic() < end, (
                "Firefox did not start:\n"
                + log.read_text(encoding="utf-8", errors="replace")[-2000:]
            )
            time.sleep(0.1)
        with connect(
            ready[1] + "/session", max_size=None, ping_interval=None, proxy=None
        ) as socket:
            yield Firefox(socket, downloads)
    finally:
        process.terminate()
        try:
            process.wait(timeout=20)
        except subprocess.TimeoutExpired:
            process.kill()
