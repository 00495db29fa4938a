"""The alias rows of an answer: they say what a person said, and no other name or case changes its meaning."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.plant.alias_table import with_aliases
from pipeline.plant.answer import Answer, alias_rows
from pipeline.plant.folder import read_plant
from pipeline.plant.meanings import Missing
from pipeline.plant.names import AnalyteMatch, Names
from pipeline.plant.plant import Plant
from pipeline.reference import shipped_aliases
from tests.narrow_files import PLANT_TOML, SAMPLE_POINTS

SENDER = "Tarnwick"
FRACTIONS = ("", "dissolved", "total", "total recoverable")
WRITTEN = sorted({row.as_written for row in shipped_aliases()})


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("plant")
    (folder / "plant.toml").write_text(PLANT_TOML)
    (folder / "sample_points.csv").write_text(SAMPLE_POINTS)
    return folder


@pytest.fixture(scope="module")
def plant(folder: Path) -> Plant:
    return read_plant(folder)


def names_with(folder: Path, plant: Plant, answer: Answer) -> Names:
    (folder / "aliases.csv").write_bytes(with_aliases(b"", alias_rows(answer, plant)))
    try:
        return read_plant(folder).names
    finally:
        (folder / "aliases.csv").unlink()


def meaning(match: AnalyteMatch) -> tuple[str | None, str, str, str]:
    return match.analyte, match.implied_basis, match.implied_fraction, match.still_needs


@given(st.data())
def test_what_meant_something_means_the_same(folder: Path, plant: Plant, data: st.DataObject) -> None:
    answered = data.draw(st.sampled_from(WRITTEN))
    answer = Answer(Missing.ANALYTE, SENDER, answered, "Total organic carbon")
    names = names_with(folder, plant, answer)
    for text in (answered, *data.draw(st.lists(st.sampled_from(WRITTEN), max_size=20))):
        for fraction in FRACTIONS:
            for sender in (SENDER, "Fernholm"):
                before = plant.names.analyte(text, sender=sender, fraction=fraction)
                after = names.analyte(text, sender=sender, fraction=fraction)
                if before.analyte and (text != answered or fraction):
                    assert meaning(after) == meaning(before)
                if sender != SENDER:
                    assert after == before


def test_a_stopped_name_keeps_the_case_in_which_it_was_known(folder: Path, plant: Plant) -> None:
    # "Organic carbon" is the dissolved one where the sample was filtered, and stopped where nothing is said.
    names = names_with(folder, plant, Answer(Missing.ANALYTE, SENDER, "Organic carbon", "Total organic carbon"))
    meant = {
        fraction: names.analyte("Organic carbon", sender=SENDER, fraction=fraction).analyte for fraction in FRACTIONS
    }
    assert meant["dissolved"] == "Dissolved organic carbon"
    assert meant[""] == "Total organic carbon"


def test_an_answer_can_be_that_the_cells_are_not_ours(folder: Path, plant: Plant) -> None:
    answer = Answer(Missing.ANALYTE, SENDER, "Zebra count", "another customer's", set_aside=True)
    assert names_with(folder, plant, answer).analyte("zebra  count", sender=SENDER).set_aside == "another customer's"
