"""The sample plant's files, made once and read without the product."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal

import pytest

from pipeline.plant.folder import read_plant
from pipeline.plant.plant import Plant
from sample_lab import copy_plant_folder, planted_defects
from sample_lab.generator.files import sample_files
from sample_lab.records import Record, records_of


@pytest.fixture(scope="session")
def records() -> list[Record]:
    """Every line of every file, the file that was sent twice once."""
    return [record for file in sample_files() if "sent_again" not in file.name for record in records_of(file)]


@pytest.fixture(scope="session")
def sound_records(records: list[Record]) -> list[Record]:
    """Every line without a planted defect."""
    spoiled = {(defect.file, defect.line) for defect in planted_defects()}
    return [record for record in records if (record.file, record.line) not in spoiled]


@pytest.fixture(scope="session")
def numbers(sound_records: list[Record]) -> Callable[[str, str], dict[date, Decimal]]:
    """The routine numbers of one written analyte at one written point, by day."""

    def of(analyte: str, point: str) -> dict[date, Decimal]:
        return {
            record.day: Decimal(record["value"])
            for record in sound_records
            if (record["analyte"], record["sample_point"]) == (analyte, point)
            and record.is_routine
            and record["value"].replace(".", "").isdigit()
        }

    return of


@pytest.fixture(scope="session")
def sample_plant(tmp_path_factory: pytest.TempPathFactory) -> Plant:
    """The sample plant as the product reads it."""
    folder = tmp_path_factory.mktemp("plant")
    copy_plant_folder(folder)
    return read_plant(folder)
