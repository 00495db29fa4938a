"""Every page on a real store: empty, with something in it, and with names that try to act."""

import os
import re
from collections.abc import Callable
from pathlib import Path

import duckdb
import pytest
from streamlit.testing.v1 import AppTest

from app.dashboard import caution, links
from pipeline.store.connection import Store
from tests.narrow_files import narrow_file

Page = Callable[..., AppTest]
PAGES = (
    links.TODAY,
    links.LOAD,
    links.DUE,
    links.FINISHED_WATER,
    links.ANALYTE,
    links.LIMIT_TABLE,
    links.TREND,
    links.REPORTS,
)


def said(page: AppTest) -> str:
    """All text of a page, tables included."""
    parts = [element.value for kind in (page.title, page.subheader, page.markdown, page.error) for element in kind]
    tables = [str(table.value.reset_index().to_dict()) for table in (*page.table, *page.dataframe)]
    links_of_page = [link.label for link in page.get("page_link")]
    return " ".join([*parts, *tables, *links_of_page])


def spaced(text: str) -> str:
    return text.replace("\N{NO-BREAK SPACE}", " ").replace("\\", "")


@pytest.mark.parametrize("view", PAGES)
def test_without_a_store_every_page_says_how_to_open_one(view: str, page: Page, tmp_path: Path) -> None:
    shown = page(view, Store(tmp_path / "nowhere"))
    assert [title.value for title in shown.title] == ["No store is open"]
    assert "barrierbook serve --store" in shown.code[0].value


@pytest.mark.parametrize("view", PAGES)
def test_an_empty_store_is_no_error_on_any_page(view: str, page: Page, empty_store: Store) -> None:
    shown = page(view, empty_store)
    assert not shown.exception
    assert not shown.error
    assert len(shown.title) == 1


@pytest.mark.parametrize("view", PAGES)
def test_every_page_has_one_title_and_closes_with_the_caution(view: str, page: Page) -> None:
    shown = page(view)
    assert not shown.exception
    assert len(shown.title) == 1
    assert caution.CAUTION in shown.markdown[-1].value
    assert "Data last loaded 1 Jun 2026, 05:00" in spaced(shown.markdown[-1].value)


@pytest.mark.parametrize("view", PAGES)
def test_names_from_files_cannot_act_on_any_page(view: str, page: Page) -> None:
    shown = page(view)
    texts = [element.value for kind in (shown.title, shown.subheader, shown.markdown) for element in kind]
    texts += [str(cell) for table in shown.table for cell in table.value.reset_index().to_numpy().ravel()]
    assert not any(re.search(r"(?<!\\)!\[[^\]]*(?<!\\)\]\((?!data:image/svg)", text) for text in texts)
    assert not any(re.search(r"(?<!\\)<b>|(?<!\\):red\[z", text) for text in texts)


def test_an_empty_store_says_what_to_do_first(page: Page, empty_store: Store) -> None:
    shown = page(links.TODAY, empty_store)
    assert shown.title[0].value == "Nothing is loaded yet"
    assert shown.get("page_link")[0].label == "**Load a file**"


def test_today_names_what_needs_a_person(page: Page) -> None:
    shown = page()
    assert spaced(shown.title[0].value).startswith("Nitrite needs a person now. Two limits are exceeded; 2 cells")
    assert "act now" in said(shown)
    assert "**2** cells held in 1 file" in said(shown)


def test_today_shows_one_strip_a_kind_with_its_numbers_in_words(page: Page) -> None:
    table = page().table[0].value
    strips = table[next(name for name in table.columns if spaced(name).startswith("Limit used"))]
    assert all(re.match(r"!\[\d+ limits?.*\]\(data:image/svg\+xml;base64,", spaced(strip)) for strip in strips)


def test_finished_water_lists_every_limit_of_the_point(page: Page) -> None:
    shown = page(links.FINISHED_WATER)
    counted = sum(int(number) for number in re.findall(r"(\d+)\*\*", spaced(shown.markdown[0].value)))
    assert len(shown.table[0].value) == counted > 50


def test_finished_water_shows_value_share_and_verdict_of_a_result(page: Page) -> None:
    table = page(links.FINISHED_WATER).table[0].value
    (row,) = [row for name, row in table.iterrows() if name.startswith("[Nitrate](") and "primary" in name]
    assert row["Verdict"] == ":gray[**✓** meets]"
    assert spaced(row["Limit"]) == "10 mg/L as N"
    assert spaced(row["% of limit"]).strip("\N{FIGURE SPACE}") == "21 %"


def test_a_selector_writes_its_choice_into_the_address(page: Page) -> None:
    shown = page(links.FINISHED_WATER)
    shown.selectbox(key="pick show").select("without an answer").run()
    assert "without an answer" in shown.query_params["show"]
    assert not any("meets" in verdict for verdict in shown.table[0].value["Verdict"])


def test_an_address_that_makes_no_sense_shows_everything(page: Page) -> None:
    shown = page(links.FINISHED_WATER, show="nonsense", point="nowhere", on="yesterday", order="?")
    assert not shown.exception
    assert shown.selectbox(key="pick show").value == "every limit"


def test_the_day_of_evaluation_decides_what_is_known(page: Page) -> None:
    before = page(links.ANALYTE, limit="us-primary-nitrate", point="FW", on="2026-05-03")
    after = page(links.ANALYTE, limit="us-primary-nitrate", point="FW", on="2026-05-04")
    assert before.title[0].value == "Nitrate has no data"
    assert after.title[0].value.startswith("Nitrate meets its limit")


def test_one_analyte_unfolds_to_file_line_and_column(page: Page) -> None:
    shown = page(links.ANALYTE, limit="us-primary-nitrate", point="FW")
    (row,) = shown.dataframe[-1].value.to_dict("records")
    assert (row["Value"], row["File"], row["Line"], row["Column"]) == ("2.10", "first.csv", 2, "value")
    assert row["Counts"] == "yes"


def test_a_value_converted_for_the_verdict_stays_as_reported_in_the_rows(page: Page) -> None:
    shown = page(links.ANALYTE, limit="us-secondary-manganese", point="FW")
    assert shown.dataframe[-1].value["Value"].tolist() == ["60.70"]
    assert shown.dataframe[-1].value["Unit"].tolist() == ["µg/L"]
    assert spaced(shown.title[0].value) == "Manganese exceeds its limit: 0.06 of 0.05 mg/L"


def test_a_group_is_one_value_a_sample_and_a_blank_is_not_drawn(page: Page, new_store: Store, load_into) -> None:
    nitrate, nitrite = {"value": "2.1"}, {"analyte": "Nitrite as N", "value": "0.5"}
    blank = {"sample": "S-8", "laboratory_sample": "L-8", "value": "7.7", "sample_type": "field blank"}
    load_into(new_store, nitrate, nitrite, blank)
    group = page(links.ANALYTE, new_store, limit="us-primary-nitrate-nitrite")
    single = page(links.ANALYTE, new_store, limit="us-primary-nitrate")
    assert group.dataframe[0].value["As reported"].tolist() == ["2.6 mg/L, calculated from 2 results"]
    assert single.dataframe[0].value["As reported"].tolist() == ["2.1 mg/L"]
    assert sorted(single.dataframe[1].value["Value"]) == ["2.1", "7.7"]


def test_a_limit_in_the_address_that_is_not_judged_shows_the_worst_instead(page: Page) -> None:
    assert page(links.ANALYTE, limit="no-such-limit").title[0].value.startswith("Nitrite")


def test_the_account_of_a_load_is_an_equation_that_closes(page: Page) -> None:
    equation = next(text.value for text in page(links.LOAD).markdown if "What happened to every cell" in text.value)
    total, parts = re.search(r": (\d+) = (.*?)\.", equation.replace("*", "")).groups()
    assert int(total) == sum(int(number) for number in re.findall(r"\d+", parts)) == 4


def test_files_that_are_delivered_on_the_page_are_loaded_and_shown(page: Page, new_store: Store) -> None:
    shown = page(links.LOAD, new_store)
    delivered = [("june.csv", narrow_file({"value": "12.4"}), "text/csv"), ("x*y_z.csv", b"", "text/csv")]
    shown.file_uploader(key="delivered").set_value(delivered)
    shown.run(timeout=120)
    assert spaced(shown.title[0].value) == "Every cell of june.csv is accounted for, none is held"
    assert spaced(shown.error[0].value).startswith("**■** act now: Nitrate 12.4 mg/L")
    assert spaced(shown.error[1].value) == "**x*y_z.csv**: the file is empty. Ask the sender for the file again."
    account = "**june.csv**: 1 = 0 empty + 0 set aside + 0 held + 0 duplicate + 1 new + 0 revision cells"
    assert account in spaced(said(shown))
    shown.run()
    assert spaced(shown.error[0].value).startswith("**■** act now")


def test_a_file_that_no_layout_knows_waits_for_a_person_and_is_loaded_then(page: Page, new_store: Store) -> None:
    odd = b"Zq,Parameter,Result,Unit,Sample date\nFW,Iron,0.1,mg/L,2026-05-04\nnear FW,Zinc,0.2,mg/L,2026-05-05\n"
    shown = page(links.LOAD, new_store)
    shown.file_uploader(key="delivered").set_value([("odd.csv", odd, "text/csv")])
    shown.run(timeout=120)
    assert "Nothing says the point" in spaced(said(shown))
    (kept,) = (new_store.folder / "waiting").glob("*/odd.csv")
    assert kept.read_bytes() == odd
    key = kept.parent.name
    shown.selectbox(key=f"column {key} results point").select("Zq").run(timeout=60)
    assert list(shown.dataframe[0].value["Outcome"]) == ["stored", "held"]
    shown.button(key=f"save {key}").click().run(timeout=120)
    assert spaced(shown.title[0].value) == "1 cell held in odd.csv"
    assert not kept.exists()
    assert 'point = "Zq"' in (new_store.plant_folder / "layouts" / "odd.toml").read_text()


def test_a_likely_meaning_is_accepted_with_one_button(page: Page, new_store: Store, load_into) -> None:
    load_into(new_store, {"analyte": "Manganesse", "unit": "ug/L"}, {"analyte": "Nitrat", "laboratory_sample": "L-9"})
    shown = page(links.LOAD, new_store)
    assert shown.button(key="accept analyte Tarnwick Nitrat").disabled
    shown.button(key="accept analyte Tarnwick Manganesse").click().run(timeout=120)
    assert spaced(shown.title[0].value) == "1 cell held in x.csv"
    assert "Manganesse" in spaced(shown.info[0].value)
    assert "Tarnwick,Manganesse,analyte,Manganese" in (new_store.plant_folder / "aliases.csv").read_text()


def test_a_held_cell_has_its_reason_remedy_and_place(page: Page) -> None:
    shown = page(links.LOAD)
    text = spaced(said(shown))
    assert spaced(shown.title[0].value).startswith("2 cells held in ![y]")
    for fact in ("The unit 'parts' is not known", "Column value, line 2", "aliases.csv"):
        assert fact in text


def test_opening_a_reason_shows_its_cells_and_the_address_keeps_it(page: Page) -> None:
    shown = page(links.LOAD)
    shown.button(key="open 1").click().run()
    assert len(shown.dataframe[0].value) == 1
    assert "1" in shown.query_params["reason"]


def test_an_older_load_is_shown_when_the_address_names_it(page: Page) -> None:
    assert "first.csv" in spaced(page(links.LOAD, load="1").title[0].value)


def test_the_limit_table_finds_a_limit_and_says_what_its_figure_rests_on(page: Page) -> None:
    shown = page(links.LIMIT_TABLE)
    shown.text_input(key="sought").input("14797-55-8 141.62").run()
    found = shown.dataframe[0].value
    assert found["Analyte"].tolist() == ["Nitrate"]
    assert found["Figure"].tolist() == ["read in the source"]


def test_examples_in_the_limit_table_are_said_not_to_be_judged(page: Page) -> None:
    shown = page(links.LIMIT_TABLE, judged="not judged", whose="California")
    assert set(shown.dataframe[0].value["Judged"]) == {"no: example, to be confirmed by the plant"}


def test_while_a_load_is_writing_the_state_before_it_stays(page: Page) -> None:
    shown = page(links.LOAD)
    with duckdb.connect(str(Path(os.environ["BARRIERBOOK_STORE"]) / "store.duckdb")):
        shown.run()
    assert "being updated" in shown.warning[0].value
    assert "held in" in shown.title[0].value


def test_a_plant_without_a_place_for_any_limit_says_what_to_write(page: Page, new_store: Store, load_into) -> None:
    (new_store.plant_folder / "sample_points.csv").write_text("sample_point,name,place,disinfected\nX,Pond,other,no\n")
    load_into(new_store, {"sample_point": "X"})
    shown = page(links.FINISHED_WATER, new_store)
    assert shown.title[0].value == "No limit is judged at any sample point"


def test_a_change_of_the_plant_folder_is_seen_at_once(page: Page, new_store: Store) -> None:
    shown = page(links.LIMIT_TABLE, new_store)
    assert shown.title[0].value.startswith("99 of ")
    points = new_store.plant_folder / "sample_points.csv"
    points.write_text(points.read_text().replace("finished water entry point", "other"))
    assert not shown.run().title[0].value.startswith("99 of ")


def test_a_plant_folder_that_is_wrong_is_an_error_in_words(page: Page, new_store: Store) -> None:
    broken = new_store
    (broken.plant_folder / "sample_points.csv").write_text("sample_point,nonsense\nFW,1\n")
    shown = page(links.TODAY, broken)
    assert shown.title[0].value == "The store cannot be read"
    assert "sample_points.csv" in spaced(shown.error[0].value)
    assert not shown.exception
