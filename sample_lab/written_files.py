"""Writes what the plant's senders deliver into a folder."""

from pathlib import Path

from sample_lab.generator.deliveries import deliveries
from sample_lab.generator.files import DEFAULT_SEED


def write_sample_files(folder: Path, seed: int = DEFAULT_SEED) -> list[Path]:
    """Write three years of files of every sender; the same seed writes the same bytes.

    Parameters
    ----------
    folder
        Where to write; made when it is not there. Files of the same names are replaced.
    seed
        Which world: another seed gives other values in the same lines.

    Returns
    -------
    list of Path
        The files in the order in which they arrived; a file that was sent twice comes twice, under two names.
    """
    folder.mkdir(parents=True, exist_ok=True)
    paths = []
    for file in deliveries(seed):
        path = folder / file.name
        path.write_bytes(file.content)
        paths.append(path)
    return paths
