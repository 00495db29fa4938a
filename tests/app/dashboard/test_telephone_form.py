"""The form for a result told by telephone: what it hands to the loader, and what it refuses."""

from collections.abc import Callable
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from app.dashboard import links, loader
from pipeline.store.connection import Store

Page = Callable[..., AppTest]
TOLD = {
    "Told by": "bench chemist", "When": "2026-05-06 14:05", "Our sample id": "S-1", "Collected": "2026-05-04 08:15",
    "Analyte": "Nitrate as N", "Value": "<0.1", "Unit": "mg/L",
}  # fmt: skip


@pytest.fixture
def handed(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, bytes]]:
    """What the loader is given; nothing is loaded."""
    files: list[tuple[str, bytes]] = []

    def keep(delivered: list[tuple[str, bytes]], store: Path) -> list[loader.FileResult]:
        assert store.exists()
        files.extend(delivered)
        return [loader.FileResult(name, 1, "1 new") for name, _ in delivered]

    monkeypatch.setattr(loader, "load", keep)
    return files


def _send(shown: AppTest, told: dict[str, str]) -> AppTest:
    for one in shown.text_input:
        if one.label in told:
            one.set_value(told[one.label])
    next(box for box in shown.selectbox if box.label == "Sample point").select_index(0)
    next(box for box in shown.selectbox if box.label == "Laboratory").set_value("Tarnwick")
    return next(button for button in shown.button if button.label == "Write it down").click().run()


def test_a_call_becomes_a_file_of_one_line(page: Page, new_store: Store, handed: list[tuple[str, bytes]]) -> None:
    (new_store.plant_folder / "labs.csv").write_text("laboratory\nTarnwick\n")
    shown = _send(page(links.LOAD, new_store), TOLD)
    assert not shown.exception
    ((name, content),) = handed
    assert name == "telephone note 2026-05-06-14-05.csv"
    header, line = content.decode().splitlines()
    said = dict(zip(header.split(","), line.split(","), strict=True))
    assert (said["laboratory"], said["sample_point"], said["value"], said["status"]) == (
        "Tarnwick", "FW", "<0.1", "preliminary",
    )  # fmt: skip
    assert said["comment"] == "told by telephone by bench chemist at 2026-05-06 14:05"


def test_a_call_that_does_not_say_who_told_it_is_refused(
    page: Page, new_store: Store, handed: list[tuple[str, bytes]]
) -> None:
    (new_store.plant_folder / "labs.csv").write_text("laboratory\nTarnwick\n")
    shown = _send(page(links.LOAD, new_store), TOLD | {"Told by": ""})
    assert "who told it" in shown.error[0].value
    assert handed == []
