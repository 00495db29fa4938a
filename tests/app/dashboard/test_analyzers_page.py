"""The page of analyzers: empty, on a few readings, and as its address asks; and its chart's fields and marks."""

import json
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from zoneinfo import ZoneInfo

import pytest
from streamlit.testing.v1 import AppTest

from app.dashboard import caution, links
from app.dashboard.analyzer_charts import analyzer_chart
from app.dashboard.chart_parts import ROLES
from app.dashboard.series import LimitLine
from pipeline.analyzers.watch import MOST_BUCKETS, Span, watch
from pipeline.store.connection import Store
from tests.pipeline.analyzers.historian import Historian

Page = Callable[..., AppTest]
FIRST = datetime(2026, 5, 1, 7, tzinfo=UTC)  # midnight in the plant


@pytest.fixture(scope="module")
def historian(tmp_path_factory: pytest.TempPathFactory) -> Historian:
    """Two days of turbidity by the minute, without the hour from noon of the first; one reading is out of range."""
    made = Historian(tmp_path_factory.mktemp("analyzers"))
    moments = [FIRST + timedelta(minutes=minute) for minute in range(2 * 1440) if not 720 < minute < 780]
    rows = (f"{moment:%Y-%m-%d %H:%M:%S},TURB,{'12' if moment == FIRST else '0.05'},Good\n" for moment in moments)
    made.load("time,tag,value,status\n" + "".join(rows))
    return made


def shown(page: AppTest) -> str:
    kinds = (page.title, page.subheader, page.markdown, page.error)
    text = " ".join(str(element.value) for kind in kinds for element in kind)
    return text.replace("\N{NO-BREAK SPACE}", " ").replace("\\", "")


def test_without_readings_the_page_says_how_to_bring_some(page: Page, empty_store: Store) -> None:
    opened = page(links.ANALYZERS, empty_store)
    assert not opened.exception
    assert opened.title[0].value == "No readings of analyzers yet"


def test_the_title_is_the_answer_and_the_page_closes_with_the_caution(page: Page, historian: Historian) -> None:
    opened = page(links.ANALYZERS, historian.store)
    assert not opened.exception
    assert "Turbidity at Finished water (TURB): 0.05 to 12 NTU" in shown(opened)
    assert caution.CAUTION in opened.markdown[-1].value


def test_what_is_out_of_range_leads_to_its_line(page: Page, historian: Historian) -> None:
    opened = page(links.ANALYZERS, historian.store)
    assert "1 of 2,821 readings marked suspect or fail" in shown(opened)
    tables = [frame.value for frame in opened.dataframe]
    (marked,) = [table for table in tables if "Mark" in table.columns]
    assert marked[["Value", "Mark", "File", "Line"]].to_numpy().tolist() == [["12", "fail", "readings.csv", 2]]


def test_the_address_decides_what_is_shown(page: Page, historian: Historian) -> None:
    opened = page(links.ANALYZERS, historian.store, tag="TURB", **{"from": "2026-05-02", "to": "2026-05-02"})
    assert "0.05 to 0.05 NTU, 2 May 2026 to 2 May 2026" in shown(opened)


def test_an_extreme_survives_any_reduction(historian: Historian) -> None:
    span = Span(date(2026, 5, 1), date(2026, 5, 2), ZoneInfo("America/Los_Angeles"))
    with historian.store.read() as connection:
        for buckets in (1, 7, MOST_BUCKETS):
            watched = watch(connection, historian.plant.analyzers["TURB"], 1, span, buckets)
            assert watched.buckets.height <= buckets + 1
            assert [str(end) for end in watched.extremes or ()] == ["0.050000", "12.000000"]
            assert watched.readings == 2821


def test_a_long_span_shows_the_same_extremes_from_the_days(historian: Historian) -> None:
    zone = ZoneInfo("America/Los_Angeles")
    with historian.store.read() as connection:
        watched = watch(
            connection, historian.plant.analyzers["TURB"], 1, Span(date(2020, 1, 1), date(2029, 12, 31), zone)
        )
    assert watched.buckets.height == 2
    assert [str(end) for end in watched.extremes or ()] == ["0.050000", "12.000000"]


def test_the_chart_breaks_at_the_gap_names_roles_and_draws_the_limit(historian: Historian) -> None:
    span = Span(date(2026, 5, 1), date(2026, 5, 2), ZoneInfo("America/Los_Angeles"))
    with historian.store.read() as connection:
        watched = watch(connection, historian.plant.analyzers["TURB"], 1, span)
    (gap,) = watched.gaps
    assert (gap.first_after - gap.last_before) == timedelta(minutes=60)
    chart = analyzer_chart(watched, [LimitLine(Fraction(3, 10), "0.3 NTU, primary")], small=False)
    said = json.loads(chart.to_json())
    rows = [row for data in said["datasets"].values() for row in data]
    assert {row["run"] for row in rows if "run" in row} == {0, 1}
    assert {row["role"] for row in rows if "role" in row} <= set(ROLES)
    assert [row["text"] for row in rows if row.get("value") == 0.3][:1] == ["0.3 NTU, primary"]
    assert len([row for row in rows if "low" in row]) <= 2 * (MOST_BUCKETS + 1) + 2
