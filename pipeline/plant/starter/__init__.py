"""The plant folder that a new plant starts from: commented settings, a few sample points, and the tables to fill."""

from importlib.resources import files
from pathlib import Path
from typing import Final

from pipeline import reference
from pipeline.errors import Place, PlantFolderError, PlantRowError
from pipeline.plant.analyzers import Analyzer
from pipeline.plant.tables import Alias, Laboratory, MonitoringPlanRow, Row, SampleLogEntry

_WRITTEN_OUT: Final = ("plant.toml", "sample_points.csv")
_HEADER_ONLY: Final[dict[str, type[Row]]] = {
    "aliases.csv": Alias,
    "analyzers.csv": Analyzer,
    "labs.csv": Laboratory,
    "monitoring_plan.csv": MonitoringPlanRow,
    "sample_log.csv": SampleLogEntry,
}


def starter_files() -> dict[str, bytes]:
    """Name and content of each file of the starter plant folder.

    The limit table is a copy of the shipped one, for the plant to confirm, shorten and extend.
    """
    written_out = {file: files(__package__).joinpath(file).read_bytes() for file in _WRITTEN_OUT}
    headers = {file: f"{','.join(row_type.model_fields)}\n".encode() for file, row_type in _HEADER_ONLY.items()}
    return written_out | headers | {"limits.csv": reference.table_bytes("limits.csv")}


def write_starter(folder: Path) -> tuple[Path, ...]:
    """Write the starter plant folder; ``read_plant`` accepts it as it is.

    Parameters
    ----------
    folder
        Made when it does not exist. None of the files may exist in it: a plant's own work is never overwritten.

    Returns
    -------
    tuple of Path
        The files written.

    Raises
    ------
    PlantFolderError
        When one of the files exists already; nothing is written then.
    """
    contents = starter_files()
    existing = [folder / file for file in contents if (folder / file).exists()]
    if existing:
        remedy = "Choose an empty folder; nothing was written."
        raise PlantFolderError(
            folder, [PlantRowError("the file exists already.", remedy, Place(str(path))) for path in existing]
        )
    (folder / "layouts").mkdir(parents=True, exist_ok=True)
    for file, content in contents.items():
        (folder / file).write_bytes(content)
    return tuple(folder / file for file in contents)
