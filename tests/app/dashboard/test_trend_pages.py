"""The pages of trends and of the month: state in the address, units, years, tables, and no claim of a direction."""

import re
from collections.abc import Callable

import pytest
from streamlit.testing.v1 import AppTest

from app.dashboard import links
from pipeline.load import LoadReport
from pipeline.store.connection import Store

Page = Callable[..., AppTest]
DIRECTION = re.compile(r"\b(increas|decreas|rising|falling|upward trend|downward trend|improv|worsen|getting)", re.I)


def visit(number: int, day: str, value: str, **more: str) -> dict[str, str]:
    return {
        "laboratory_sample": f"L-{number}", "sample": f"S-{number}", "value": value, "collected": f"{day} 08:15",
        "received": f"{day} 12:00", "analyzed": f"{day} 15:00", **more,
    }  # fmt: skip


@pytest.fixture
def years(new_store: Store, load_into: Callable[..., LoadReport]) -> Store:
    """Nitrate of two years at two points, one of them not detected."""
    load_into(
        new_store,
        visit(1, "2025-03-04", "2.10"),
        visit(2, "2025-09-04", "<0.10"),
        visit(3, "2026-03-04", "3.40"),
        visit(4, "2026-03-05", "5.00", sample_point="RO"),
    )
    return new_store


def text(page: AppTest) -> str:
    parts = [one.value for kind in (page.title, page.subheader, page.markdown) for one in kind]
    return " ".join(parts).replace("\N{NO-BREAK SPACE}", " ").replace("\\", "")


def frame(page: AppTest):
    return page.dataframe[-1].value


def test_the_title_counts_and_spans(page: Page, years: Store) -> None:
    shown = page(links.TREND, years, analyte="Nitrate", point="FW")
    assert not shown.exception
    assert ": 3 results, measured 2.10 to 3.40 mg/L" in text(shown)


def test_every_result_is_listed_with_its_line_newest_first(page: Page, years: Store) -> None:
    rows = frame(page(links.TREND, years, analyte="Nitrate", point="FW"))
    assert rows[["Collected", "Value", "File", "Line"]].values.tolist() == [
        ["2026-03-04", "3.40", "x.csv", 4],
        ["2025-09-04", "< 0.10", "x.csv", 3],
        ["2025-03-04", "2.10", "x.csv", 2],
    ]


def test_another_unit_converts_exactly_and_keeps_what_was_reported(page: Page, years: Store) -> None:
    rows = frame(page(links.TREND, years, analyte="Nitrate", point="FW", unit="µg/L as N"))
    assert rows["In µg/L as N"].tolist() == ["3400", "< 100", "2100"]
    assert rows["Value"].tolist() == ["3.40", "< 0.10", "2.10"]


def test_years_of_the_address_bound_the_results(page: Page, years: Store) -> None:
    rows = frame(page(links.TREND, years, analyte="Nitrate", point="FW", **{"from": "2025", "to": "2025"}))
    assert [day[:4] for day in rows["Collected"]] == ["2025", "2025"]


@pytest.mark.parametrize("chart", ["over time", "years side by side"])
@pytest.mark.parametrize("axis", ["from zero", "from zero, values alone", "logarithmic"])
def test_every_view_draws_and_claims_no_direction(page: Page, years: Store, chart: str, axis: str) -> None:
    shown = page(links.TREND, years, analyte="Nitrate", point="FW", chart=chart, axis=axis)
    assert not shown.exception
    assert len(shown.get("vega_lite_chart")) == 1
    assert "no direction claimed" in text(shown)
    assert not DIRECTION.search(text(shown))


def test_a_median_with_a_non_detect_is_said_as_bounds(page: Page, years: Store) -> None:
    """Worked by hand: 2.10 and <0.10 have a median from (0 + 2.1) / 2 to (0.1 + 2.1) / 2."""
    table = page(links.TREND, years, analyte="Nitrate", point="FW").table[0].value
    of_2025 = table[table["Year"] == "2025"].iloc[0]
    assert of_2025["Median"].replace("\\", "") == "1.05 to 1.1"


def test_the_month_page_counts_its_results_and_hands_out_a_workbook(page: Page, years: Store) -> None:
    shown = page(links.REPORTS, years, month="2026-03")
    assert not shown.exception
    assert "2026-03: 1 result, no limit exceeded" in text(shown)
    assert len(shown.get("download_button")) == 1


def test_months_are_chosen_from_those_with_results(page: Page, years: Store) -> None:
    months = page(links.REPORTS, years).selectbox[0].options
    assert (months[0], months[-1], len(months)) == ("2026-03", "2025-03", 13)
