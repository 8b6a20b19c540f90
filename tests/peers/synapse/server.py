"""Starting, killing and starting again a Synapse on loopback, with SQLite, and making accounts on it."""

from __future__ import annotations

import base64
import hashlib
import hmac
import json
import secrets
import signal
import socket
import subprocess
import time
import urllib.error
import urllib.request
from dataclasses import dataclass
from pathlib import Path
from string import Template
from typing import Any

from tests.peers.needed import ROOT, missing

PYTHON = ROOT / ".peers" / "synapse" / "bin" / "python"
INSTALL = ("python3 -m venv .peers/synapse && .peers/synapse/bin/python -m pip install -r "
           "tests/peers/synapse/requirements.txt")
SERVER_NAME = "test.local"
SECRET = "registration"
HERE = Path(__file__).parent
START_SECONDS = 60.0


@dataclass(frozen=True)
class Account:
    """Someone on the server."""

    user: str
    password: str
    token: str


class Synapse:
    """One homeserver with a folder of its own."""

    def __init__(self, folder: Path) -> None:
        self.port = _free_port()
        self.url = f"http://127.0.0.1:{self.port}"
        self._folder = folder
        self._process: subprocess.Popen[bytes] | None = None
        _configure(folder, self.port)

    def start(self) -> None:
        """Start it and wait until it answers."""
        with (self._folder / "output").open("ab") as output:
            self._process = subprocess.Popen(
                [str(PYTHON), "-m", "synapse.app.homeserver", "-c", str(self._folder / "homeserver.yaml")],
                stdout=output, stderr=output, cwd=self._folder)
        until = time.monotonic() + START_SECONDS
        while time.monotonic() < until:
            if self._process.poll() is not None:
                raise RuntimeError(f"Synapse ended: {(self._folder / 'output').read_text()[-2000:]}")
            try:
                with urllib.request.urlopen(f"{self.url}/_matrix/client/versions", timeout=2):
                    return
            except (urllib.error.URLError, OSError):
                time.sleep(0.1)
        raise RuntimeError(f"Synapse did not answer within {START_SECONDS} s")

    def kill(self) -> None:
        """End it at once, as a power cut does."""
        self._end(signal.SIGKILL)

    def stop(self) -> None:
        """End it in order."""
        self._end(signal.SIGTERM)

    def register(self, name: str) -> Account:
        """A new account, with the token of a first device that nobody uses."""
        password = secrets.token_hex(8)
        nonce = self.call("GET", "/_synapse/admin/v1/register")["nonce"]
        words = b"\0".join([nonce.encode(), name.encode(), password.encode(), b"notadmin"])
        mac = hmac.new(SECRET.encode(), words, hashlib.sha1).hexdigest()
        made = self.call("POST", "/_synapse/admin/v1/register",
                         {"nonce": nonce, "username": name, "password": password, "admin": False, "mac": mac})
        return Account(made["user_id"], password, made["access_token"])

    def call(self, method: str, path: str, body: dict[str, Any] | None = None, token: str = "") -> Any:
        """One call of its interface."""
        data = json.dumps(body).encode() if body is not None else None
        headers = {"Content-Type": "application/json"} | ({"Authorization": f"Bearer {token}"} if token else {})
        request = urllib.request.Request(f"{self.url}{path}", data=data, method=method, headers=headers)
        with urllib.request.urlopen(request, timeout=20) as answer:
            return json.load(answer)

    def _end(self, how: signal.Signals) -> None:
        if self._process is not None:
            self._process.send_signal(how)
            self._process.wait(20)
            self._process = None


def required() -> None:
    """Skip the test if Synapse is not installed."""
    if not PYTHON.exists():
        missing("Synapse", INSTALL)


def _configure(folder: Path, port: int) -> None:
    values = {"port": port, "folder": str(folder), "name": SERVER_NAME, "secret": SECRET}
    for name in ("homeserver.yaml", "log.yaml"):
        text = Template((HERE / name).read_text()).substitute(values)
        (folder / name).write_text(text)
    key = base64.b64encode(secrets.token_bytes(32)).decode().rstrip("=")
    (folder / "signing.key").write_text(f"ed25519 a_test {key}\n")


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
    return port
