"""``serve``: the dashboard, on this machine only unless told otherwise."""

import os
import subprocess
import sys
from importlib import resources
from pathlib import Path
from typing import Annotated

import typer

from app.book import open_book
from app.commands.options import DEFAULT_STORE, JsonOption, StoreOption
from app.printing import print_json, progress


def serve(
    store: StoreOption = DEFAULT_STORE,
    port: Annotated[int, typer.Option(help="Port to listen on.")] = 8501,
    address: Annotated[
        str, typer.Option(help="Address to listen on; loopback reaches this machine only.")
    ] = "127.0.0.1",
    json: JsonOption = False,
) -> None:
    """Open the dashboard in a browser at http://127.0.0.1:8501; stop it with Ctrl+C."""
    open_book(store)
    if json:
        print_json({"address": f"http://{address}:{port}", "store": store})
    progress(f"The dashboard is at http://{address}:{port}. Stop it with Ctrl+C.")
    if address not in ("127.0.0.1", "localhost", "::1"):
        progress("Caution: it has no sign-in, and everybody who reaches this address can read and load data.")
    raise typer.Exit(run_dashboard(store, address=address, port=port))


def run_dashboard(store: Path, *, address: str, port: int, headless: bool = True) -> int:
    """Run the dashboard until it is stopped; returns its exit code."""
    command = dashboard_command(address=address, port=port, headless=headless)
    try:
        return subprocess.run(command, env=dashboard_environment(store), check=False).returncode
    except KeyboardInterrupt:
        return 0


def dashboard_command(*, address: str, port: int, headless: bool = True) -> list[str]:
    """The command line of the dashboard.

    ``-P`` keeps a folder ``app`` in the working directory from hiding ours; the options keep Streamlit from asking for
    an e-mail address and from reporting its use.
    """
    entry = resources.files("app").joinpath("dashboard", "main.py")
    return [
        sys.executable, "-P", "-m", "streamlit", "run", str(entry),
        f"--server.address={address}", f"--server.port={port}", f"--server.headless={str(headless).lower()}",
        "--server.showEmailPrompt=false", "--browser.gatherUsageStats=false",
    ]  # fmt: skip


def dashboard_environment(store: Path) -> dict[str, str]:
    """The environment of the dashboard: this one, and the store it shows."""
    return {**os.environ, "BARRIERBOOK_STORE": str(store.resolve())}
