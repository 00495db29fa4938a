"""A change of the plant folder: wholly there after it was read, or not at all."""

from pathlib import Path

import pytest

from pipeline.errors import PlantRowError
from pipeline.plant.amend import amend


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "plant" / "layouts").mkdir(parents=True)
    (tmp_path / "plant" / "aliases.csv").write_bytes(b"before")
    (tmp_path / "plant" / "layouts" / "june.toml").write_bytes(b"june")
    return tmp_path / "plant"


def files(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_the_whole_folder_is_read_with_the_change_before_it_counts(folder: Path) -> None:
    seen = []
    amend(folder, "aliases.csv", lambda before: before + b" after", lambda trial: seen.append(files(trial)))
    assert seen == [{"aliases.csv": b"before after", "layouts/june.toml": b"june"}]
    assert files(folder) == seen[0]


def test_a_change_with_which_the_folder_cannot_be_read_is_not_made(folder: Path) -> None:
    before = files(folder)

    def refuse(_: Path) -> None:
        raise PlantRowError("wrong.", "Mend it.")

    with pytest.raises(PlantRowError):
        amend(folder, "layouts/july.toml", lambda _: b"july", refuse)
    assert files(folder) == before


def test_what_somebody_else_wrote_meanwhile_is_not_overwritten(folder: Path) -> None:
    def write_meanwhile(_: Path) -> None:
        (folder / "aliases.csv").write_bytes(b"theirs")

    with pytest.raises(PlantRowError, match="changed meanwhile"):
        amend(folder, "aliases.csv", lambda _: b"ours", write_meanwhile)
    assert files(folder)["aliases.csv"] == b"theirs"


def test_a_file_keeps_its_permissions(folder: Path) -> None:
    (folder / "aliases.csv").chmod(0o640)
    amend(folder, "aliases.csv", lambda _: b"after", lambda _: None)
    assert (folder / "aliases.csv").stat().st_mode & 0o777 == 0o640
