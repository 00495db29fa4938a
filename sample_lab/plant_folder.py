"""The plant folder of the fictional plant, as it ships."""

import shutil
from importlib import resources
from pathlib import Path

PLANT_NAME = "Quillmere Advanced Water Purification Plant"


def copy_plant_folder(folder: Path) -> None:
    """Copy the sample plant's plant folder to ``folder``, which is made when it is not there.

    Files that stand there already are replaced by the shipped ones of the same name; others are left alone.
    """
    with resources.as_file(resources.files("sample_lab").joinpath("plant")) as shipped:
        shutil.copytree(shipped, folder, dirs_exist_ok=True, ignore=shutil.ignore_patterns(".gitkeep"))
