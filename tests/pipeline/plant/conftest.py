"""A small plant folder that is right in every respect, to be read as it is or spoiled in one place."""

from collections.abc import Callable
from pathlib import Path

import pytest

from pipeline.plant.folder import read_plant
from pipeline.plant.plant import Plant

RIGHT = {
    "plant.toml": 'name = "Test Plant"\ntime_zone = "America/Los_Angeles"\n',
    "sample_points.csv": (
        "sample_point,name,place,disinfected,barrier_before,barrier_after,note\n"
        "INF,Plant influent,plant influent,no,,,\n"
        "FIN,Finished water,finished water entry point,yes,,,\n"
    ),
    "labs.csv": "laboratory,name\nLAB,Our Laboratory\n",
    "aliases.csv": (
        "sender,as_written,kind,means,implied_basis,effective_from,effective_to\n"
        "Our Laboratory,NO3,analyte,Nitrate,as N,,\n"
        ",Effluent,point,FIN,,,\n"
    ),
    "limits.csv": (
        "limit_id,jurisdiction,status,kind,analyte,value,value_high,unit,basis,direction,statistic,statistic_parameters,"
        "step,nondetect_rule,applies_at,effective_from,effective_to,trigger_values,group_members\n"
        "own-lead,plant,in force,internal goal,Lead,0.010,,mg/L,,not above,single value,,0.001,zero,"
        "finished water entry point,2020-01-01,,,\n"
    ),
    "monitoring_plan.csv": (
        "sample_point,analyte,frequency,status,effective_from,effective_to,laboratory\n"
        "FIN,Lead,yearly,routine,,2024-12-31,LAB\n"
        "FIN,Lead,quarterly,increased,2025-01-01,,LAB\n"
    ),
    "sample_log.csv": (
        "sample,sample_point,collected,received,purpose,confirmation_of\n"
        "S1,FIN,2025-03-04 08:15,2025-03-04,compliance,\n"
        "S2,FIN,2025-03-05,,confirmation,S1\n"
    ),
}


@pytest.fixture
def write_folder(tmp_path: Path) -> Callable[..., Path]:
    """Write the right folder with some files replaced; ``None`` leaves a file out."""

    def write(**replaced: str | bytes | None) -> Path:
        folder = tmp_path / "plant"
        folder.mkdir(exist_ok=True)
        contents: dict[str, str | bytes | None] = {**RIGHT, **replaced}
        for file, content in contents.items():
            path = folder / file
            path.parent.mkdir(parents=True, exist_ok=True)
            if content is None:
                path.unlink(missing_ok=True)
            else:
                path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return folder

    return write


@pytest.fixture
def plant(write_folder: Callable[..., Path]) -> Plant:
    """The right folder, read."""
    return read_plant(write_folder())
