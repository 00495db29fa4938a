"""The sample points of the plant, in the order in which the water passes them."""

from enum import StrEnum


class Point(StrEnum):
    """One place where the sampler fills bottles; the value is the plant's code of it."""

    INFLUENT = "INF"
    OZONE_EFFLUENT = "OZE"
    BIOLOGICAL_CARBON_EFFLUENT = "BAC"
    MEMBRANE_RACK_1 = "UF1"
    MEMBRANE_RACK_2 = "UF2"
    MEMBRANE_RACK_3 = "UF3"
    MEMBRANE_FILTRATE = "UFF"
    PERMEATE_A = "ROA"
    PERMEATE_B = "ROB"
    CONCENTRATE = "CON"
    ADVANCED_OXIDATION_EFFLUENT = "AOP"
    FINISHED_WATER = "FIN"


RACKS = (Point.MEMBRANE_RACK_1, Point.MEMBRANE_RACK_2, Point.MEMBRANE_RACK_3)

# The sampler's round, stop by stop: the racks and the concentrate lie in another hall and come last.
ROUND = (
    Point.INFLUENT, Point.OZONE_EFFLUENT, Point.BIOLOGICAL_CARBON_EFFLUENT, Point.MEMBRANE_FILTRATE, Point.PERMEATE_A,
    Point.PERMEATE_B, Point.ADVANCED_OXIDATION_EFFLUENT, Point.FINISHED_WATER, *RACKS, Point.CONCENTRATE,
)  # fmt: skip

# What the first laboratory's bottle labels say; the plant folder's aliases lead back to the codes.
WRITTEN_BY_LABORATORY = {
    Point.INFLUENT: "Plant Influent",
    Point.OZONE_EFFLUENT: "Ozone Eff",
    Point.BIOLOGICAL_CARBON_EFFLUENT: "BAC Eff",
    Point.MEMBRANE_FILTRATE: "UF Filtrate (comb.)",
    Point.PERMEATE_A: "RO-A Permeate",
    Point.PERMEATE_B: "RO-B Permeate",
    Point.ADVANCED_OXIDATION_EFFLUENT: "UV/AOP Eff",
    Point.FINISHED_WATER: "Clearwell Outlet",
}
