"""The dashboard of a store, served on a free loopback port for as long as somebody looks at it."""

import socket
import subprocess
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from app.commands.serving import dashboard_command, dashboard_environment

PATIENCE_SECONDS = 60


@contextmanager
def served(store: Path) -> Iterator[str]:
    """Serve a store's dashboard; yields its address."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    process = subprocess.Popen(
        dashboard_command(address="127.0.0.1", port=port),
        env=dashboard_environment(store),
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    address = f"http://127.0.0.1:{port}"
    try:
        _wait_until_healthy(address)
        yield address
    finally:
        process.terminate()
        process.wait()


def _wait_until_healthy(address: str) -> None:
    deadline = time.monotonic() + PATIENCE_SECONDS
    while time.monotonic() < deadline:
        try:
            with urllib.request.urlopen(f"{address}/_stcore/health"):
                return
        except (urllib.error.URLError, ConnectionError):
            time.sleep(0.2)
    raise TimeoutError("the dashboard did not start")
