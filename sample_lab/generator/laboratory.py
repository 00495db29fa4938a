"""What the laboratory makes of a sample: values with its methods' error, limits, qualifiers, times and identifiers."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import ROUND_HALF_UP, Decimal

from sample_lab.generator.noise import Noise
from sample_lab.generator.points import WRITTEN_BY_LABORATORY, Point
from sample_lab.generator.rows import COLUMNS, LabRow
from sample_lab.generator.schedule import Visit
from sample_lab.generator.tables import Method, methods
from sample_lab.generator.water import Water

LABORATORY = "Tarnwick Water Laboratory"
FIELD_REPLICATE = "quality control, field replicate"
FIELD_BLANK = "quality control, field blank"

_DILUTED = {"Chloride": 10, "Sulfate": 10, "Nitrate": 5}
_UNDILUTED_POINTS = frozenset(
    {Point.PERMEATE_A, Point.PERMEATE_B, Point.ADVANCED_OXIDATION_EFFLUENT, Point.FINISHED_WATER}
)
_SHORTEST_WAIT = timedelta(minutes=25)
_PLATES = frozenset({"Total coliform", "E. coli"})


@dataclass(frozen=True, slots=True)
class Order:
    """What the plant asks of the laboratory for one visit beside the bottles."""

    purpose: str
    sample_type: str = "sample, routine"
    confirmation_of: str = ""
    replicate: str = ""
    suffix: str = ""
    comment: str = ""


@dataclass(frozen=True, slots=True)
class Laboratory:
    """The fictional laboratory; every number it gives follows from the seed and from what is measured."""

    noise: Noise

    def report(self, visit: Visit, water: Water, order: Order, number: str) -> list[LabRow]:
        """The lines of one sample.

        Parameters
        ----------
        visit
            Where and when the bottles were filled.
        water
            What is in them.
        order
            What they are for.
        number
            The laboratory's own number of the sample.
        """
        chosen = [method for name, method in methods().items() if name in visit.analytes]
        rows = [self._row(position, method, visit, water, order, number) for position, method in enumerate(chosen, 1)]
        reported = _report_date(rows)
        for row in rows:
            row.texts["reported"] = reported
        return rows

    def _row(self, position: int, method: Method, visit: Visit, water: Water, order: Order, number: str) -> LabRow:
        key = (visit.sample + order.suffix, method.analyte)
        texts = dict.fromkeys(COLUMNS, "")
        texts.update(
            result_id=f"{number}-{position:02d}", laboratory=LABORATORY, laboratory_sample=number,
            sample=visit.sample + order.suffix, sample_point=WRITTEN_BY_LABORATORY[visit.point],
            analyte=method.written, cas_number=method.cas_number, fraction=method.fraction, unit=method.unit,
            basis=method.basis, method=method.method, purpose=order.purpose, confirmation_of=order.confirmation_of,
            preservation=method.preservation, replicate=order.replicate, status="final", revision="1",
            comment=order.comment,
        )  # fmt: skip
        field_type = method.in_the_field and order.sample_type == "sample, routine"
        texts["sample_type"] = "field measurement" if field_type else order.sample_type
        texts.update(self._times(method, visit, key))
        texts.update(self._measurement(method, visit.point, water[method.analyte], key))
        return LabRow(texts, method.analyte, visit.point)

    def _times(self, method: Method, visit: Visit, key: tuple[str, str]) -> dict[str, str]:
        collected = visit.collected
        if method.in_the_field:
            measured = collected + timedelta(minutes=self.noise.minutes(0.02, 0.15, "field", *key))
            return {"collected": _written(collected), "analyzed": _written(measured)}
        # The courier takes one cooler a round: receipt and temperature belong to the day, not to the bottle.
        day = collected.date()
        received = datetime.combine(day, datetime.min.time()) + timedelta(
            hours=10, minutes=self.noise.minutes(0.2, 0.8, "courier", day)
        )
        texts = {"collected": _written(collected), "received": _written(received)}
        texts["receipt_temperature_c"] = str(rounded(self.noise.between(1.4, 5.6, "cooler", day), 2, 1))
        start = collected
        if method.extracted_hours is not None:
            # One batch of extractions for all samples and analytes of a day.
            waited = self.noise.minutes(*method.extracted_hours, "extract", method.batch, day)
            start = _in_working_hours(collected + timedelta(minutes=waited))
            texts["extracted"] = _written(start)
        waited = self.noise.minutes(*method.analyzed_hours, "analyze", method.batch, *key)
        analyzed = _not_on_sunday(start + timedelta(minutes=waited))
        texts["analyzed"] = _written(max(analyzed, received + _SHORTEST_WAIT, start + _SHORTEST_WAIT))
        texts["batch"] = f"{method.batch}-{texts['analyzed'][2:10].replace('-', '')}"
        return texts

    def _measurement(self, method: Method, point: Point, true_value: float, key: tuple[str, str]) -> dict[str, str]:
        if method.analyte in _PLATES:
            return self._count(method, point, true_value, key)
        dilution = 1 if point in _UNDILUTED_POINTS else _DILUTED.get(method.analyte, 1)
        detection_limit = _times_dilution(method.detection_limit, dilution)
        reporting_limit = _times_dilution(method.reporting_limit, dilution)
        # Near the detection limit the error no longer shrinks with the value: a third of it is the floor.
        floor = float(detection_limit or 0) / 3
        spread = true_value * method.relative_sd + floor
        measured = max(0.0, true_value + spread * self.noise.normal("measure", *key))
        texts = {"detection_limit": detection_limit, "reporting_limit": reporting_limit, "dilution": str(dilution)}
        return texts | as_reported(measured, method, detection_limit, reporting_limit)

    def _count(self, method: Method, point: Point, true_value: float, key: tuple[str, str]) -> dict[str, str]:
        if point == Point.FINISHED_WATER:
            return {"value": "absent", "unit": "P/A", "dilution": "1"}
        count = true_value * max(0.3, 1 + method.relative_sd * self.noise.normal("count", *key))
        dilution = 100 if point == Point.INFLUENT else 1
        top = Decimal("2419.6") * dilution
        value = rounded(count, method.significant, method.decimals)
        text = f">{top}" if value > top else str(value) if value >= dilution else f"<{dilution}"
        return {"value": text, "reporting_limit": str(dilution), "dilution": str(dilution)}


def as_reported(measured: float, method: Method, detection_limit: str, reporting_limit: str) -> dict[str, str]:
    """Value and qualifier as the laboratory prints them for one measured number."""
    value = rounded(measured, method.significant, method.decimals)
    if not reporting_limit or value >= Decimal(reporting_limit):
        return {"value": str(value), "qualifier": ""}
    if detection_limit and value >= Decimal(detection_limit):
        return {"value": str(value), "qualifier": "J"}
    if method.nondetect == "ND":
        return {"value": "ND", "qualifier": "U"}
    return {"value": f"<{reporting_limit}", "qualifier": ""}


def rounded(measured: float, significant: int, decimals: int) -> Decimal:
    """A measured number as printed: so many figures, but never more than so many decimals; half up.

    Examples
    --------
    >>> rounded(123.46, 3, 2), rounded(0.04567, 3, 2)
    (Decimal('123'), Decimal('0.05'))
    """
    exact = Decimal(measured)
    exponent = max(exact.adjusted() - significant + 1, -decimals) if exact else -decimals
    return Decimal(f"{exact.quantize(Decimal(1).scaleb(exponent), ROUND_HALF_UP):f}")


def _times_dilution(limit: str, dilution: int) -> str:
    return f"{Decimal(limit) * dilution:f}" if limit and dilution != 1 else limit


def _in_working_hours(moment: datetime) -> datetime:
    return _not_on_sunday(moment.replace(hour=9 + moment.hour % 7))


def _not_on_sunday(moment: datetime) -> datetime:
    """Nobody works on Sunday, when clocks are changed: what would fall on it was done on Saturday."""
    return moment - timedelta(days=1) if moment.weekday() == 6 else moment


def _report_date(rows: Iterable[LabRow]) -> str:
    last = max(row.texts["analyzed"] for row in rows)
    return (datetime.fromisoformat(last).date() + timedelta(days=3)).isoformat()


def _written(moment: datetime) -> str:
    return moment.strftime("%Y-%m-%d %H:%M")
