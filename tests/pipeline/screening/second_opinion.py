"""A second, deliberately simple reading of the averaging rules, sharing nothing with the product.

Standard library only. A result is ``(date, sign, Fraction)`` with sign ``<`` for a non-detect. Everything is looked up
again and again in plain lists: slow, and hard to get wrong in the same way.
"""

import math
from datetime import date
from fractions import Fraction

FOUR = 4


def round_half_up(value, step):
    """Nearest multiple of the step; the upper one when two are equally near."""
    if step is None:
        return value
    below = math.floor(value / step) * step
    return below + step if value - below >= step - (value - below) else below


def quarter(day):
    """``(year, 0..3)`` as one number."""
    return day.year * 4 + {1: 0, 2: 0, 3: 0, 4: 1, 5: 1, 6: 1, 7: 2, 8: 2, 9: 2, 10: 3, 11: 3, 12: 3}[day.month]


def ends_quarter(day):
    """Whether a day is the last of a quarter."""
    return (day.month, day.day) in {(3, 31), (6, 30), (9, 30), (12, 31)}


def counted(sign, amount, limit_value):
    """Lowest and highest value with which a result counts when non-detects are zero."""
    if sign != "<":
        return amount, amount
    return Fraction(0), amount if amount > limit_value else Fraction(0)


def quarter_mean(results, number, limit_value):
    """Mean of the results of one quarter as (low, high); ``None`` when there are none."""
    ends = [counted(sign, amount, limit_value) for day, sign, amount in results if quarter(day) == number]
    if not ends:
        return None
    return sum(low for low, _ in ends) / len(ends), sum(high for _, high in ends) / len(ends)


def year_of_means(results, last, limit_value):
    """Means of the quarters with results among the four that end with ``last``."""
    means = [quarter_mean(results, number, limit_value) for number in range(last - 3, last + 1)]
    return [mean for mean in means if mean is not None]


def sides(means, divisor, limit_value, step):
    """Whether the average is above at its lowest, and at its highest."""
    low = round_half_up(sum(mean[0] for mean in means) / divisor, step)
    high = round_half_up(sum(mean[1] for mean in means) / divisor, step)
    return low > limit_value, high > limit_value


def running_average(results, on, limit_value, step, near_share, *, early, one_sample_a_quarter):
    """Word for a running annual average of quarter means on a day."""
    results = [one for one in results if one[0] <= on]
    if not results:
        return "no data"
    today = quarter(on)
    sampled_today = quarter_mean(results, today, limit_value) is not None
    judged = today if ends_quarter(on) or (one_sample_a_quarter and sampled_today) else today - 1
    newest = today if sampled_today else judged
    full = min(quarter(day) for day, _, _ in results) <= judged - 3
    so_far = year_of_means(results, newest, limit_value)
    if not so_far:
        return "no data"
    year = year_of_means(results, judged, limit_value)
    if full and year and sides(year, len(year), limit_value, step)[0]:
        return "exceeds"
    for window in (year, so_far):
        if early and window and sides(window, FOUR, limit_value, step)[0]:
            return "exceeds"
    if full and year:
        if sides(year, len(year), limit_value, step)[1]:
            return "cannot determine"
        share = sum(mean[1] for mean in year) / len(year) / limit_value
        return "near limit" if share >= near_share else "meets"
    above = sides(so_far, len(so_far), limit_value, step)[0]
    return "above the number, not yet an exceedance" if above else "not enough data"


def single_values(results, on, limit_value, step, near_share):
    """Word for results judged one by one: any above in the quarter of the latest one, else the latest day."""
    results = [one for one in results if one[0] <= on]
    if not results:
        return "no data"
    latest = max(day for day, _, _ in results)
    recent = [
        (day, *counted_as_bounds(sign, amount)) for day, sign, amount in results if quarter(day) == quarter(latest)
    ]
    if any(round_half_up(low, step) > limit_value for _, low, _ in recent):
        return "exceeds"
    highs = [high for day, _, high in recent if day == latest]
    if any(round_half_up(high, step) > limit_value for high in highs):
        return "cannot determine"
    return "near limit" if max(highs) / limit_value >= near_share else "meets"


def counted_as_bounds(sign, amount):
    """Lowest and highest value of a result when no rule says how a non-detect counts."""
    return (Fraction(0), amount) if sign == "<" else (amount, amount)


def as_plain(result):
    """A screening result as ``(date, sign, Fraction)``."""
    day: date = result.collected_on
    return day, "<" if result.value_text.startswith("<") else "", Fraction(result.value)
