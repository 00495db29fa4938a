"""The water on one day at every sample point: what really is in it, before any laboratory has looked.

A water is a table of concentrations, each in the unit in which the laboratory reports the analyte (``methods.csv``).
Every barrier is a function from the water that enters it to the water that leaves it. The figures are those of a
middle-of-the-road plant: common practice, no source, unless a comment names one. They are there to give the product
plausible numbers, not to design a plant with.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from sample_lab.generator.ions import (
    alkalinity_for_balance,
    dissolved_solids,
    hardness,
    sodium_for_balance,
    specific_conductance,
)
from sample_lab.generator.noise import Noise
from sample_lab.generator.points import Point
from sample_lab.generator.seasons import AMMONIA, EFFLUENT_TEMPERATURE, ORGANICS, SALT, normal_on
from sample_lab.generator.trace import kept_by, traces

Water = dict[str, float]

NEW_MEMBRANES_IN_B = date(2025, 11, 15)
HYPOCHLORITE_SALT_CHANGED = date(2025, 9, 1)
# Share of the feed that becomes permeate.
RECOVERY = 0.85
# Turbidity of each ultrafiltration rack's filtrate, as a multiple of that of all three together.
RACK_TURBIDITY = (0.96, 1.06, 0.98)

TRIHALOMETHANES = ("Chloroform", "Bromodichloromethane", "Dibromochloromethane", "Bromoform")
HALOACETIC_ACIDS = (
    "Monochloroacetic acid", "Dichloroacetic acid", "Trichloroacetic acid", "Monobromoacetic acid",
    "Dibromoacetic acid",
)  # fmt: skip
PFAS = ("PFOA", "PFOS", "PFHxS", "PFNA", "HFPO-DA", "PFBS")
TRACE_METALS = ("Aluminum", "Arsenic", "Barium", "Chromium", "Iron", "Manganese", "Mercury", "Selenium", "Uranium")

# Filtered secondary effluent, mean of the year.
_INFLUENT: Mapping[str, float] = {
    "pH": 7.15, "Turbidity": 1.9, "Color, apparent": 28, "UV absorbance at 254 nm": 0.145, "Total organic carbon": 7.2,
    "Calcium": 62, "Magnesium": 24, "Potassium": 17, "Alkalinity, total": 185, "Chloride": 190, "Sulfate": 140,
    "Fluoride": 0.80, "Bromide": 0.22, "Silica": 18, "Boron": 0.38, "Nitrate": 9.5, "Nitrite": 0.25,
    "Cyanide, free": 0.0020,
    "Aluminum": 26, "Arsenic": 1.6, "Barium": 28, "Chromium": 1.1, "Iron": 85, "Manganese": 42, "Mercury": 0.004,
    "Selenium": 1.4, "Uranium": 2.1,
    "Chloroform": 2.1, "Bromodichloromethane": 0.6, "Dibromochloromethane": 0.3, "Bromoform": 0.1,
    "Benzene": 0.06, "Trichloroethylene": 0.35,
    "Monochloroacetic acid": 1.1, "Dichloroacetic acid": 2.6, "Trichloroacetic acid": 2.2, "Monobromoacetic acid": 0.3,
    "Dibromoacetic acid": 0.5, "Bromate": 0.1, "Chlorate": 55, "Formaldehyde": 6.0, "1,4-Dioxane": 1.4,
    "N-Nitrosodimethylamine (NDMA)": 9.0, "Atrazine": 0.055,
    "PFOA": 9.2, "PFOS": 6.1, "PFHxS": 4.6, "PFNA": 1.1, "HFPO-DA": 0.3, "PFBS": 11.5,
    "Total coliform": 42000, "E. coli": 7800,
}  # fmt: skip
_FOLLOWS_SALT = ("Chloride", "Sulfate", "Calcium", "Magnesium", "Potassium", "Bromide", "Boron", "Silica", "Fluoride")

# Share of each solute that new membranes let through. Small, uncharged or weakly charged ones pass most.
_PASSAGE: Mapping[str, float] = {
    "Calcium": 0.0010, "Magnesium": 0.0010, "Sodium": 0.0100, "Potassium": 0.0110, "Ammonia": 0.0120,
    "Chloride": 0.0060, "Sulfate": 0.0010, "Nitrate": 0.0300, "Nitrite": 0.0250, "Fluoride": 0.0110,
    "Bromide": 0.0070, "Bromate": 0.0100, "Chlorate": 0.0090, "Silica": 0.0080, "Boron": 0.45, "Cyanide, free": 0.20,
    "Total organic carbon": 0.018, "UV absorbance at 254 nm": 0.030, "Color, apparent": 0.010, "Turbidity": 0.70,
    **dict.fromkeys(TRACE_METALS, 0.0060), **dict.fromkeys(PFAS, 0.008), **dict.fromkeys(HALOACETIC_ACIDS, 0.03),
    **dict.fromkeys(TRIHALOMETHANES, 0.40), "Benzene": 0.50, "Trichloroethylene": 0.40, "Formaldehyde": 0.75,
    "1,4-Dioxane": 0.14, "N-Nitrosodimethylamine (NDMA)": 0.52, "Atrazine": 0.05, "Total coliform": 0.0, "E. coli": 0.0,
}  # fmt: skip
# For these the age of the membranes hardly matters.
_AGE_MATTERS_LITTLE = frozenset(
    {"Turbidity", "Boron", "Benzene", "Trichloroethylene", "Formaldehyde", "N-Nitrosodimethylamine (NDMA)"}
).union(TRIHALOMETHANES)


@dataclass(frozen=True, slots=True)
class Plant:
    """The plant's water on any day of one seed's world."""

    noise: Noise

    def on(self, day: date) -> dict[Point, Water]:
        """The water at every sample point on one day."""
        influent = self._influent(day)
        ozonated = self._ozonation(influent, day)
        biological = self._biological_carbon(ozonated, day)
        filtrate = self._ultrafiltration(biological, day)
        train_a, train_b = (self._reverse_osmosis(filtrate, train, day) for train in "AB")
        permeate = _blended(train_a, train_b)
        oxidized = self._advanced_oxidation(permeate, day)
        finished = self._conditioning(oxidized, day)
        racks = (_of_rack(filtrate, turbidity) for turbidity in RACK_TURBIDITY)
        concentrate = self._concentrate(filtrate, permeate, day)
        waters = (
            influent, ozonated, biological, *racks, filtrate, train_a, train_b, concentrate, oxidized, finished,
        )  # fmt: skip
        return {point: _completed(water) for point, water in zip(Point, waters, strict=True)}

    def _wobble(self, spread: float, *what: object) -> float:
        return max(0.2, 1.0 + spread * self.noise.normal("water", *what))

    def _influent(self, day: date) -> Water:
        salt = normal_on(SALT, day) * self._wobble(0.02, "salt", day)
        organics = normal_on(ORGANICS, day) * self._wobble(0.03, "organics", day)
        water = {name: mean * self._wobble(0.06, name, day) for name, mean in _INFLUENT.items()}
        water.update({name: _INFLUENT[name] * salt for name in _FOLLOWS_SALT})
        for name in ("Total organic carbon", "UV absorbance at 254 nm", "Color, apparent"):
            water[name] = _INFLUENT[name] * organics
        water["Temperature, water"] = normal_on(EFFLUENT_TEMPERATURE, day) + 0.4 * self.noise.normal("temperature", day)
        water["pH"] = _INFLUENT["pH"] + 0.05 * self.noise.normal("pH", day)
        water["Turbidity"] = _INFLUENT["Turbidity"] * self._wobble(0.20, "Turbidity", day)
        water["Ammonia"] = normal_on(AMMONIA, day) * self._wobble(0.08, "Ammonia", day)
        water["Sodium"] = sodium_for_balance(water)
        for name in ("Total coliform", "E. coli"):
            water[name] = _INFLUENT[name] * self._wobble(0.25, name, day)
        for trace in traces():
            water[trace.analyte] = trace.influent * self._wobble(trace.spread, trace.analyte, day)
        return water

    def _ozonation(self, entering: Water, day: date) -> Water:
        """Ozone takes color, absorbance, coliforms and nitrite, and makes bromate, formaldehyde and some NDMA."""
        water = dict(entering)
        dose = normal_on(ORGANICS, day) * self._wobble(0.04, "ozone dose", day)
        # In molar terms a few percent of the bromide end as bromate, more in warm water.
        share = 0.040 * dose * (1 + 0.02 * (entering["Temperature, water"] - 22))
        made = entering["Bromide"] * share * 127.90 / 79.904 * 1000
        water["Bromate"] = entering["Bromate"] + made
        water["Bromide"] = entering["Bromide"] * (1 - share)
        water["Nitrate"] = entering["Nitrate"] + 0.95 * entering["Nitrite"]
        water["Nitrite"] = 0.05 * entering["Nitrite"]
        water["Formaldehyde"] = entering["Formaldehyde"] + 36 * dose
        water["N-Nitrosodimethylamine (NDMA)"] = entering["N-Nitrosodimethylamine (NDMA)"] + 13 * dose
        kept = {
            "Total organic carbon": 0.95, "UV absorbance at 254 nm": 0.62, "Color, apparent": 0.30, "Turbidity": 0.85,
            "1,4-Dioxane": 0.78, "Atrazine": 0.70, "Benzene": 0.10, "Trichloroethylene": 0.60,
            "Cyanide, free": 0.60, "Total coliform": 0.002, "E. coli": 0.001, "Iron": 0.98, "Manganese": 0.97,
            **kept_by("ozonation"),
        }  # fmt: skip
        return _scaled(water, kept)

    def _biological_carbon(self, entering: Water, day: date) -> Water:
        """Carbon filters with a living film: organic carbon down by 30 to 50 percent, aldehydes and NDMA by most."""
        water = dict(entering)
        removed = 0.33 + 0.012 * (entering["Temperature, water"] - 18) + 0.012 * self.noise.normal("carbon", day)
        nitrified = 0.6 * entering["Ammonia"]
        water["Ammonia"] = entering["Ammonia"] - nitrified
        water["Nitrate"] = entering["Nitrate"] + nitrified
        # Two equivalents of acid for each equivalent of ammonia nitrified (Stumm and Morgan; 50.04 mg CaCO3 a meq).
        water["Alkalinity, total"] = entering["Alkalinity, total"] - 2 * nitrified / 14.007 * 50.04
        kept = {
            "Total organic carbon": 1 - min(0.48, max(0.32, removed)), "UV absorbance at 254 nm": 0.80,
            "Color, apparent": 0.60, "Turbidity": 0.28, "Formaldehyde": 0.08, "N-Nitrosodimethylamine (NDMA)": 0.30,
            "1,4-Dioxane": 0.93,
            "Atrazine": 0.55, "Bromate": 0.92, "Iron": 0.60, "Manganese": 0.45, "Aluminum": 0.80, "Chloroform": 0.80,
            "Trichloroethylene": 0.75, "Cyanide, free": 0.55, "Total coliform": 6.0, "E. coli": 1.5,
            **dict.fromkeys(HALOACETIC_ACIDS, 0.15), **dict.fromkeys(PFAS, 0.93), **kept_by("carbon"),
        }  # fmt: skip
        return _scaled(water, kept)

    def _ultrafiltration(self, entering: Water, day: date) -> Water:
        """Particles stop here; what is dissolved passes. Chloramine fed against fouling makes a little NDMA."""
        water = dict(entering)
        water["Turbidity"] = 0.045 * self._wobble(0.12, "filtrate", day)
        water["N-Nitrosodimethylamine (NDMA)"] = entering["N-Nitrosodimethylamine (NDMA)"] + 3.5
        water["Chloroform"] = entering["Chloroform"] + 0.6
        water["Total coliform"] = water["E. coli"] = 0.0
        kept = {
            "Total organic carbon": 0.96,
            "Iron": 0.20,
            "Aluminum": 0.45,
            "Manganese": 0.80,
            "Color, apparent": 0.85,
            **kept_by("ultrafiltration"),
        }
        return _scaled(water, kept)

    def _reverse_osmosis(self, entering: Water, train: str, day: date) -> Water:
        """Nearly everything dissolved stays behind; how nearly depends on the solute and on the membranes' age."""
        age = membrane_age_factor(train, day) * self._wobble(0.02, "permeate", train, day)
        water = dict(entering)
        for name, share in (*_PASSAGE.items(), *kept_by("reverse_osmosis").items()):
            older = 1.0 + 0.15 * (age - 1.0) if name in _AGE_MATTERS_LITTLE else age
            water[name] = entering[name] * min(1.0, share * older)
        water["Alkalinity, total"] = alkalinity_for_balance(water)
        # Bicarbonate stays behind and carbon dioxide passes: the permeate is acid.
        water["pH"] = 5.75 + 0.06 * self.noise.normal("permeate pH", train, day)
        return water

    def _advanced_oxidation(self, entering: Water, day: date) -> Water:
        """Ultraviolet light splits NDMA; hydroxyl radicals take 1,4-dioxane by more than 0.5 log (22 CCR 60320.201)."""
        kept = {
            "N-Nitrosodimethylamine (NDMA)": 0.04 * self._wobble(0.15, "ultraviolet", day),
            "1,4-Dioxane": 0.16 * self._wobble(0.15, "radicals", day),
            "Formaldehyde": 0.70, "Trichloroethylene": 0.10, "Benzene": 0.10, "Atrazine": 0.30,
            "UV absorbance at 254 nm": 0.75, "Total organic carbon": 0.92, "Chloroform": 0.95, "Cyanide, free": 0.50,
            **kept_by("oxidation"),
        }  # fmt: skip
        return _scaled(dict(entering), kept)

    def _concentrate(self, feed: Water, permeate: Water, day: date) -> Water:
        """What the membranes hold back, in the seventh of the water that does not pass: a balance of the masses."""
        water = {name: (feed[name] - RECOVERY * permeate[name]) / (1 - RECOVERY) for name in feed}
        water["Temperature, water"] = feed["Temperature, water"]
        water["pH"] = 7.75 + 0.05 * self.noise.normal("concentrate pH", day)
        # Chlorine holds the concentrate's pipe free of growth; it is taken away again before the outfall.
        for name in ("Total coliform", "E. coli", "Heterotrophic plate count"):
            water[name] = 0.0
        return water

    def _conditioning(self, entering: Water, day: date) -> Water:
        """Lime and carbon dioxide, fluoride, and hypochlorite made on site from salt."""
        water = dict(entering)
        lime = 22.0 * self._wobble(0.02, "lime", day)
        chlorine = 3.0 * self._wobble(0.03, "chlorine", day)
        fluoride = 0.66 * self._wobble(0.02, "fluoride", day)
        water["Calcium"] += lime
        water["Alkalinity, total"] += lime * 50.04 / 20.039
        water["Fluoride"] += fluoride
        water["Sodium"] += fluoride * 22.990 / 18.998 + chlorine * 0.65
        water["Chloride"] += chlorine * 0.65 * 35.45 / 22.990
        water["Free chlorine"] = 0.82 * chlorine
        water["pH"] = 8.25 + 0.04 * self.noise.normal("finished pH", day)
        water["Bromate"] += chlorine * bromate_of_hypochlorite(day, entering["Temperature, water"])
        water["Chlorate"] += chlorine * (28 + 2.0 * (entering["Temperature, water"] - 18))
        water["Total organic carbon"] += 0.05
        water["Turbidity"] = 0.06 * self._wobble(0.15, "finished", day)
        water["Aluminum"] += 9 * self._wobble(0.10, "lime aluminum", day)
        water["Manganese"] += 5 * self._wobble(0.15, "lime manganese", day)
        water["Iron"] += 6 * self._wobble(0.15, "lime iron", day)
        water["Barium"] += 0.9 * self._wobble(0.08, "lime barium", day)
        warm = 1 + 0.03 * (entering["Temperature, water"] - 22)
        for name, made in zip(TRIHALOMETHANES, (2.4, 2.0, 1.6, 0.8), strict=True):
            water[name] += made * warm * self._wobble(0.08, name, "finished", day)
        for name, made in zip(HALOACETIC_ACIDS, (0.4, 1.3, 1.1, 0.2, 0.7), strict=True):
            water[name] += made * warm * self._wobble(0.08, name, "finished", day)
        for trace in traces():
            water[trace.analyte] += trace.added
        return water


def membrane_age_factor(train: str, day: date) -> float:
    """How many times as much a train's membranes let through as new ones.

    Train A ages by a tenth a year. Train B was the older one and was given new membranes on 2025-11-15.
    """
    years = (day - date(2024, 11, 1)).days / 365.25
    if train == "A":
        return 1.10 + 0.10 * years
    if day < NEW_MEMBRANES_IN_B:
        return 1.90 + 0.35 * years
    return 0.92 + 0.08 * (day - NEW_MEMBRANES_IN_B).days / 365.25


def bromate_of_hypochlorite(day: date, temperature: float) -> float:
    """Bromate that comes with the plant's own hypochlorite [ug of bromate a mg of chlorine].

    Bromide in the salt becomes bromate in the cell. Since September 2025 the salt holds more of it; warm brine makes
    a little more. The reverse osmosis membranes stand before this dose and cannot help.
    """
    salt = 0.85 if day < HYPOCHLORITE_SALT_CHANGED else 2.95
    return salt * (1 + 0.018 * (temperature - 22))


def _scaled(water: Water, kept: Mapping[str, float]) -> Water:
    for name, share in kept.items():
        water[name] *= share
    return water


def _blended(train_a: Water, train_b: Water) -> Water:
    return {name: (train_a[name] + train_b[name]) / 2 for name in train_a}


def _of_rack(filtrate: Water, turbidity: float) -> Water:
    return {**filtrate, "Turbidity": filtrate["Turbidity"] * turbidity}


def _completed(water: Water) -> Water:
    """The water with the analytes that follow from others."""
    whole = dict(water)
    whole.setdefault("Free chlorine", 0.0)
    whole["Hardness, total"] = hardness(water)
    whole["Specific conductance"] = specific_conductance(water)
    whole["Total dissolved solids"] = dissolved_solids(water)
    organic = 0.09 * water["Total organic carbon"]
    whole["Total nitrogen"] = water["Nitrate"] + water["Nitrite"] + water["Ammonia"] + organic
    return whole
