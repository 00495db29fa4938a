"""What holds for every file of open data: nothing is lost, doubled or changed, and the csv module says the same."""

import pytest

from pipeline.store.verify import verify_store
from tests.open_data.delivery import AGAIN, FIRST, Delivery

# Rows by the csv module when the files were collected: a changed file has to be looked at again.
ROWS = {"kentucky": 3571, "cryptosporidium": 2448, "bay_area": 6296, "wqx_3": 67}
VALUE = {"wqx_3": "Result_Measure"}
IDENTIFIER = {"wqx_3": "Result_MeasureIdentifier"}


@pytest.fixture(params=list(ROWS))
def name(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture
def delivery(name: str, request: pytest.FixtureRequest) -> Delivery:
    loaded: Delivery = request.getfixturevalue(name)
    return loaded


def test_every_row_is_one_cell(delivery: Delivery, name: str) -> None:
    assert len(delivery.rows) == ROWS[name]
    assert delivery.loads[FIRST]["cells"] == ROWS[name]


def test_every_physical_line_is_accounted_for(delivery: Delivery) -> None:
    load = delivery.loads[FIRST]
    lines = [load[f"lines_{kind}"] for kind in ("title", "header", "blank", "data")]
    assert lines[:3] == [0, 1, 0]
    assert sum(lines) == len(delivery.path.read_bytes().splitlines())


def test_every_cell_stands_on_its_line(delivery: Delivery) -> None:
    assert sorted(delivery.outcome_at) == [row.line for row in delivery.rows]


def test_every_stored_value_text_is_the_files(delivery: Delivery, name: str) -> None:
    kept = {line for line, outcome in delivery.outcome_at.items() if outcome != "set aside"}
    written = {row.line: row[VALUE.get(name, "ResultMeasureValue")] for row in delivery.rows if row.line in kept}
    assert delivery.value_text_at == written


def test_no_row_with_its_own_number_is_taken_for_another(delivery: Delivery, name: str) -> None:
    account = delivery.account()
    assert "duplicate" not in account
    assert "revision" not in account
    header = IDENTIFIER.get(name, "ResultIdentifier")
    new = {row[header] for row in delivery.rows if delivery.outcome_at[row.line] == "new"}
    assert set(delivery.results["result_identifier"]) == new
    assert len(new) == account["new"]


def test_the_same_file_again_stores_nothing_new(delivery: Delivery) -> None:
    first, again = delivery.account(FIRST), delivery.account(AGAIN)
    assert again == {**{k: v for k, v in first.items() if k != "new"}, "duplicate": first["new"]}
    assert set(delivery.results["load_id"]) == {FIRST}


def test_the_store_proves_itself(delivery: Delivery) -> None:
    assert verify_store(delivery.store).faults == ()


@pytest.mark.parametrize("name", ["new_york", "toronto", "daily_values", "idaho"])
def test_the_store_of_a_file_with_a_layout_of_its_own_proves_itself(name: str, request: pytest.FixtureRequest) -> None:
    loaded: Delivery = request.getfixturevalue(name)
    assert verify_store(loaded.store).faults == ()
    assert loaded.loads[FIRST]["cells"] == len(loaded.outcome_of)
