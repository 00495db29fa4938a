"""What the year does to the water: monthly normals, joined by straight lines."""

from calendar import isleap
from collections.abc import Sequence
from datetime import date

# Temperature of the secondary effluent in a mild coastal climate, middle of each month [deg C].
EFFLUENT_TEMPERATURE = (18.0, 18.2, 19.0, 20.3, 22.0, 24.0, 25.6, 26.3, 25.5, 23.4, 20.8, 18.8)
# Saltier in the dry months, when less rain leaks into the sewers [share of the yearly mean].
SALT = (0.93, 0.92, 0.94, 0.97, 1.00, 1.03, 1.06, 1.08, 1.08, 1.05, 1.00, 0.96)
# Secondary treatment nitrifies better in warm water [mg/L as N].
AMMONIA = (2.2, 2.3, 1.9, 1.4, 1.0, 0.7, 0.5, 0.5, 0.6, 0.9, 1.4, 1.9)
# Ozone is dosed by organic carbon, which is highest at the end of winter [share of the yearly mean].
ORGANICS = (1.06, 1.08, 1.07, 1.03, 1.00, 0.97, 0.95, 0.93, 0.94, 0.97, 1.00, 1.03)


def normal_on(monthly: Sequence[float], day: date) -> float:
    """The monthly normal on one day, between the middles of the two nearest months.

    Examples
    --------
    >>> normal_on([1.0, 3.0] * 6, date(2025, 1, 31)) > 1.9
    True
    """
    days = 366 if isleap(day.year) else 365
    position = (day.timetuple().tm_yday - 0.5) / days * 12 - 0.5
    month = int(position // 1)
    share = position - month
    return monthly[month % 12] * (1 - share) + monthly[(month + 1) % 12] * share
