"""A fictional plant, the Quillmere Advanced Water Purification Plant: its plant folder, its files, their defects."""

from sample_lab.generator.senders.fernholm_faults import BY_MISTAKE as SENT_BY_MISTAKE
from sample_lab.plant_folder import copy_plant_folder
from sample_lab.planted import PlantedDefect, planted_defects
from sample_lab.readings_files import write_readings
from sample_lab.written_files import write_sample_files

__all__ = [
    "SENT_BY_MISTAKE",
    "PlantedDefect",
    "copy_plant_folder",
    "planted_defects",
    "write_readings",
    "write_sample_files",
]
