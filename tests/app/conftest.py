"""Limits, results and verdicts as screening hands them to the application, of a plant that does not exist."""

from collections.abc import Callable
from datetime import UTC, date, datetime
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

import app.dashboard
from app.cli import main
from app.dashboard.links import TODAY
from checks.run import run_checks
from pipeline.ingest.layout_files import shipped_layouts
from pipeline.ingest.source import decode_source
from pipeline.load import LoadReport, Occasion, load_file
from pipeline.plant.folder import read_plant
from pipeline.plant.tables import Limit, LimitStatus
from pipeline.screening.model import ScreeningResult, UsedResult, Verdict
from pipeline.store.connection import Store
from pipeline.vocabulary import Comparison, Outcome, ValueKind
from tests.narrow_files import GOOD_ROW, PLANT_TOML, SAMPLE_POINTS, narrow_file

ENTRY = str(Path(app.dashboard.__file__).parent / "main.py")


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Callable[..., tuple[int, str, str]]:
    """Run one command in this process; answers its exit code, what it printed, and its progress and errors."""

    def runner(*arguments: object) -> tuple[int, str, str]:
        capsys.readouterr()
        code = main([str(argument) for argument in arguments])
        printed = capsys.readouterr()
        return code, printed.out, printed.err

    return runner


def make_limit(**changes: Any) -> Limit:
    given = {
        "limit_id": "bromate",
        "jurisdiction": "United States",
        "status": LimitStatus.IN_FORCE,
        "kind": "primary",
        "analyte": "Bromate",
        "value": Decimal("10"),
        "unit": "ug/L",
        "statistic": "running annual average of quarter means",
        "step": Decimal("0.1"),
        "nondetect_rule": "zero",
        "applies_at": "finished water entry point",
    }
    return Limit(**(given | changes))


def make_result(text: str = "8.8", kind: ValueKind = ValueKind.NUMBER, **changes: Any) -> ScreeningResult:
    number = text.lstrip("<> ")
    given = {
        "result_id": 1,
        "sample_point": "CW-1",
        "analyte": "Bromate",
        "fraction": "",
        "basis": "",
        "sample": "S-1",
        "purpose": "compliance",
        "confirmation_of": "",
        "collected_on": date(2026, 8, 4),
        "collected_at": None,
        "kind": kind,
        "value": Decimal(number) if number.replace(".", "").isdigit() else None,
        "value_text": text,
        "unit": "ug/L",
        "detection_limit": None,
        "reporting_limit": Decimal("1.0"),
        "laboratory": "Tarnwick Water Laboratory",
        "method": "ion chromatography",
        "unusable_because": "",
        "file": "finished_2026_08.csv",
        "line": 107,
        "column": "value",
    }
    return ScreeningResult(**(given | changes))


def make_verdict(outcome: Outcome = Outcome.MEETS, share: str | None = "0.5", **changes: Any) -> Verdict:
    limit = changes.pop("limit", None) or make_limit()
    part = None if share is None else Fraction(share)
    value = None if part is None or limit.value is None else part * Fraction(limit.value)
    given = {
        "limit": limit,
        "sample_point": "CW-1",
        "on": date(2026, 11, 20),
        "outcome": outcome,
        "comparison": Comparison.WITHIN,
        "reason": "as invented",
        "statistic_low": value,
        "statistic_high": value,
        "compared_low": value,
        "compared_high": value,
        "share_low": part,
        "share_high": part,
    }
    return Verdict(**(given | changes))


@pytest.fixture
def limit() -> Callable[..., Limit]:
    return make_limit


@pytest.fixture
def result() -> Callable[..., ScreeningResult]:
    return make_result


@pytest.fixture
def verdict() -> Callable[..., Verdict]:
    return make_verdict


@pytest.fixture
def used() -> Callable[..., UsedResult]:
    def use(text: str, value: str, **changes: Any) -> UsedResult:
        number = Fraction(value)
        return UsedResult(make_result(text, **changes), number, number)

    return use


NOW = datetime(2026, 6, 1, 12, 0, tzinfo=UTC)
HOSTILE = "![x](http://a.invalid/x.png) <b>|`$y$` :red[z] www.a.invalid"
HOSTILE_FILE = "![y](http://a.invalid) `$z$`.csv"
HELD = {"sample": "S-2", "laboratory_sample": "L-2", "analyte": "Fluoride", "unit": "parts"}
HELD_HOSTILE = {"sample": "S-3", "laboratory_sample": "L-3", "analyte": HOSTILE}
ACUTE = {"sample": "S-4", "laboratory_sample": "L-4", "analyte": "Nitrite as N", "value": "1.60"}
SECONDARY = {
    "sample": "S-5", "laboratory_sample": "L-5", "analyte": "Manganese", "fraction": "total", "value": "60.70",
    "unit": "ug/L", "reporting_limit": "0.5", "method": "EPA 200.8",
}  # fmt: skip


def make_store(folder: Path) -> Store:
    """An empty store whose plant has two sample points, one of them with a hostile name; its today is 2026-06-01."""
    empty = Store(folder)
    empty.plant_folder.mkdir(parents=True)
    (empty.plant_folder / "plant.toml").write_text(PLANT_TOML + "demonstration_date = 2026-06-01\n")
    (empty.plant_folder / "sample_points.csv").write_text(SAMPLE_POINTS.replace("Clearwell outlet", HOSTILE))
    empty.create()
    return empty


def load_rows(store: Store, name: str, *rows: dict[str, str]) -> LoadReport:
    """Load rows that differ from a good one, with every check."""
    layouts = list(shipped_layouts().values())
    source = decode_source(name, narrow_file(*rows, header=[*GOOD_ROW, "sample_type", "purpose"]))
    return load_file(store, read_plant(store.plant_folder), source, layouts, run_checks, Occasion(NOW, "tester"))


@pytest.fixture(scope="session")
def empty_store(tmp_path_factory: pytest.TempPathFactory) -> Store:
    """A store into which nothing was loaded; tests only read it."""
    return make_store(tmp_path_factory.mktemp("empty") / "book")


@pytest.fixture(scope="session")
def filled_store(tmp_path_factory: pytest.TempPathFactory) -> Store:
    """A store with a good result, an acute one, a secondary one, and held cells with hostile names; only read."""
    store = make_store(tmp_path_factory.mktemp("filled") / "book")
    load_rows(store, "first.csv", {"value": "2.10"})
    load_rows(store, HOSTILE_FILE, HELD, HELD_HOSTILE, ACUTE, SECONDARY)
    return store


@pytest.fixture
def new_store(tmp_path: Path) -> Store:
    """An empty store of the test's own."""
    return make_store(tmp_path / "book")


@pytest.fixture
def load_into() -> Callable[..., LoadReport]:
    """Load rows into a store of the test's own."""
    return lambda store, *rows: load_rows(store, "x.csv", *rows)


@pytest.fixture
def page(filled_store: Store, monkeypatch: pytest.MonkeyPatch) -> Callable[..., AppTest]:
    """Open a page of the dashboard with what its address says, on the filled store or another."""

    def opener(view: str = "", store: Store = filled_store, **address: str) -> AppTest:
        monkeypatch.setenv("BARRIERBOOK_STORE", str(store.folder))
        opened = AppTest.from_file(ENTRY, default_timeout=60)
        for name, said in address.items():
            opened.query_params[name] = said
        opened.run()
        return opened.switch_page(view).run() if view not in ("", TODAY) else opened

    return opener
