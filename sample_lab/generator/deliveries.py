"""Everything that the plant's senders deliver, in the order of arrival; the same bytes for the same seed."""

from calendar import monthrange
from functools import lru_cache

from sample_lab.generator.files import DEFAULT_SEED, LabFile, sample_files
from sample_lab.generator.senders import custody, fernholm_faults, field_crew, harrowfen, tarn_basin, telephone
from sample_lab.generator.senders.sent import Planted, SentFile

_MONTH = slice(-7, None)


@lru_cache(maxsize=2)
def deliveries(seed: int = DEFAULT_SEED) -> tuple[SentFile, ...]:
    """Every file of every sender for one seed, in the order of arrival."""
    sent = [_of_the_first_laboratory(file) for file in sample_files(seed)]
    for sender in (fernholm_faults, harrowfen, tarn_basin, field_crew, custody, telephone):
        sent += sender.files(seed)
    return tuple(sorted(sent, key=lambda file: file.arrived))


def _of_the_first_laboratory(file: LabFile) -> SentFile:
    """A narrow file as the others are told of; what was sent twice came on the next day."""
    month = file.name.removesuffix(".csv").removesuffix("_sent_again")[_MONTH]
    year, number = (int(part) for part in month.split("-"))
    day = monthrange(year, number)[1] - ("sent_again" not in file.name)
    planted = (
        Planted(line, "value", row.analyte, mark, result_id=row.texts["result_id"]) for line, row, mark in file.marked
    )
    return SentFile(file.name, file.content, f"{month}-{day:02d}", tuple(planted))
