"""A fictional plant, the Quillmere Advanced Water Purification Plant: its plant folder, its files, their defects."""

from sample_lab.generator.files import write_sample_files
from sample_lab.plant_folder import copy_plant_folder
from sample_lab.planted import PlantedDefect, planted_defects

__all__ = ["PlantedDefect", "copy_plant_folder", "planted_defects", "write_sample_files"]
