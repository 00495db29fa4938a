"""The sample points of the plant, in the order in which the water passes them."""

from enum import StrEnum


class Point(StrEnum):
    """One place where the sampler fills bottles; the value is the plant's code of it."""

    INFLUENT = "INF"
    OZONE_EFFLUENT = "OZE"
    BIOLOGICAL_CARBON_EFFLUENT = "BAC"
    MEMBRANE_FILTRATE = "UFF"
    PERMEATE_A = "ROA"
    PERMEATE_B = "ROB"
    ADVANCED_OXIDATION_EFFLUENT = "AOP"
    FINISHED_WATER = "FIN"


# What the laboratory's bottle labels say; the plant folder's aliases lead back to the codes.
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
