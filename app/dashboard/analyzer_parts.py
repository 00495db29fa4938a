"""The parts of the page of analyzers: what is picked, what is read, the charts with their words, and the tables."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from typing import Final

import polars as pl
import streamlit as st

from app import figures, reading_rows
from app.dashboard import controls, data
from app.dashboard.analyzer_charts import analyzer_chart
from app.dashboard.series import LimitLine
from app.words import plain
from pipeline.analyzers.watch import Span, Watched, marking_of, watch
from pipeline.errors import ConversionError
from pipeline.knowledge import known_at
from pipeline.plant.analyzers import Analyzer
from pipeline.store import readings_reading

MOST_TAGS: Final = 4
USUAL_DAYS: Final = 7
MOST_ROWS: Final = 500
KEY: Final = (
    "Each stretch is drawn from its lowest to its highest reading, so that no extreme is lost. Gray band: no readings "
    "for more than three intervals. Dashed: ends of the instrument’s range. Readings marked fail are left out of the "
    "chart; the tables have them. A reading above a limit is no exceedance: a compliance value is what is reported."
)


@dataclass(frozen=True, slots=True)
class Tags:
    """Tags that have readings: their overview, their analyzers and their numbers in the store."""

    overview: pl.DataFrame
    analyzers: Mapping[str, Analyzer]
    numbers: Mapping[str, int]


def there_are() -> Tags:
    """The plant's tags that have readings."""
    with data.book().store.read() as connection:
        overview = readings_reading.overview(connection)
    numbers = dict(overview.select("tag", "tag_id").iter_rows())
    return Tags(overview, {tag: row for tag, row in data.plant().analyzers.items() if tag in numbers}, numbers)


def pick_tags(tags: Tags) -> list[str]:
    """Let a person choose up to four tags; unsaid, the first that reads an analyte."""
    options = list(tags.analyzers)
    said = [tag for tag in st.query_params.get_all("tag") if tag in options][:MOST_TAGS]
    first = next((tag for tag in options if tags.analyzers[tag].analyte), options[0])
    st.session_state["pick tags"] = said or [first]
    st.multiselect(
        f"Tags, at most {MOST_TAGS}", options, format_func=lambda tag: tag_name(tags.analyzers[tag]),
        max_selections=MOST_TAGS, key="pick tags", on_change=_write_tags,
    )  # fmt: skip
    return list(st.session_state["pick tags"]) or [first]


def pick_span(tags: Tags, chosen: Sequence[str]) -> Span:
    """Let a person choose the first and the last day; unsaid, the last week with readings of the chosen tags."""
    zone = data.plant().zone
    own = tags.overview.filter(pl.col("tag").is_in(list(chosen)))
    newest = max(moment.astimezone(zone).date() for moment in own["last_at"])
    last = _day_said("to") or newest
    first = min(_day_said("from") or last - timedelta(days=USUAL_DAYS - 1), last)
    left, right = st.columns(2)
    for slot, label, name, day in ((left, "From", "from", first), (right, "To", "to", last)):
        st.session_state[f"pick day {name}"] = day
        with slot:
            st.date_input(label, key=f"pick day {name}", on_change=_write_day, args=(name,), format="YYYY-MM-DD")
    return Span(first, last, zone)


def watched(tags: Tags, chosen: Sequence[str], span: Span) -> list[Watched]:
    """What is shown of each chosen tag, as it was known at the time that the page shows."""
    book = data.book()
    knowledge = known_at(book.store, book.plant, data.as_known())
    with book.store.read() as connection:
        return [
            watch(connection, tags.analyzers[tag], tags.numbers[tag], span, as_of_event=knowledge.as_of_event)
            for tag in chosen
        ]


def title(shown: Sequence[Watched]) -> None:
    """The answer before the charts: the span of one tag, or how many readings several have."""
    first = shown[0]
    days = f"{figures.day(first.span.first)} to {figures.day(first.span.last)}"
    if len(shown) > 1:
        number = sum(one.readings for one in shown)
        said = f"{len(shown)} tags, {figures.plural(number, 'reading')}, {days}"
    elif first.extremes is None:
        said = f"{tag_name(first.analyzer)}: no usable reading, {days}"
    else:
        low, high = (reading_rows.plain_number(end) for end in first.extremes)
        said = f"{tag_name(first.analyzer)}: {low} to {figures.with_unit(high, first.analyzer.unit)}, {days}"
    st.title(plain(said), anchor=False)


def charts(shown: Sequence[Watched]) -> None:
    """One chart a tag, each with its words, and a key beneath them."""
    for one in shown:
        unit = figures.unit_text(one.analyzer.unit)
        st.markdown(f"**{plain(tag_name(one.analyzer))}**{', ' + plain(unit) if unit else ''}")
        lines = limit_lines(one.analyzer)
        chart = analyzer_chart(one, lines, small=len(shown) > 1)
        st.altair_chart(chart, alt=description(one, lines), theme="streamlit")
    st.markdown(f":small[:gray[{plain(KEY)}]]")


def description(one: Watched, lines: Sequence[LimitLine]) -> str:
    """A chart in words, with its numbers."""
    said = [f"{tag_name(one.analyzer)}: {figures.plural(one.readings, 'reading')}"]
    if one.extremes:
        low, high = (reading_rows.plain_number(end) for end in one.extremes)
        said.append(f"lowest {low}, highest {high} {one.analyzer.unit}".rstrip())
    if one.gaps:
        longest = max(int((gap.first_after - gap.last_before).total_seconds()) for gap in one.gaps)
        said.append(f"{figures.plural(len(one.gaps), 'gap')}, the longest {reading_rows.hours(longest)} hours")
    said += [line.words for line in lines]
    return ". ".join(said).replace(figures.NO_BREAK, " ") + "."


def limit_lines(analyzer: Analyzer) -> list[LimitLine]:
    """Limits judged on the analyte at its sample point today, in the unit of the tag."""
    plant, lines = data.plant(), {}
    for verdict in data.verdicts(data.today()):
        limit = verdict.limit
        if (limit.analyte, verdict.sample_point) == (
            analyzer.analyte,
            analyzer.sample_point,
        ) and limit.value is not None:
            try:
                conversion = plant.units.conversion(
                    limit.analyte, limit.unit, limit.basis, analyzer.unit, analyzer.basis or limit.basis
                )
            except ConversionError:
                continue
            for end in (limit.value, limit.value_high):
                if end is not None:
                    value = conversion.apply(Fraction(end))
                    lines[value] = LimitLine(value, f"{figures.limit_text(limit)}, {limit.kind}")
    return [lines[value] for value in sorted(lines)]


def tables(tags: Tags, shown: Sequence[Watched]) -> None:
    """Days of each tag, readings that are marked, and everything to take away."""
    numbers, book = dict(tags.numbers), data.book()
    knowledge = known_at(book.store, book.plant, data.as_known())
    for one in shown:
        tag_id, span = numbers[one.analyzer.tag], one.span
        name = tag_name(one.analyzer)
        with book.store.read() as connection:
            days = reading_rows.day_table(readings_reading.days(connection, tag_id, span.first, span.last))
            each = None if span.is_long else readings_reading.readings_of(
                connection, tag_id, span.start, span.end, marking_of(one.analyzer, numbers), knowledge.as_of_event
            )  # fmt: skip
        unit = figures.unit_text(one.analyzer.unit)
        st.subheader(plain(f"{name} by day{', ' + unit if unit else ''}{_known_now()}"), anchor=False)
        st.dataframe(days, hide_index=True, row_height=30, height="content" if days.height < 9 else 300, alt=name)
        if each is not None:
            _marked(one.analyzer, each, span)
        else:
            st.download_button("Download days", days.write_csv(), f"{one.analyzer.tag}_days.csv", key=f"d {tag_id}")


def _marked(analyzer: Analyzer, each: pl.DataFrame, span: Span) -> None:
    marked = each.filter(pl.col("mark") >= 3)
    everything = reading_rows.reading_table(each, analyzer.tag, analyzer.unit, span.zone)
    if marked.height:
        said = f"{figures.whole(marked.height)} of {figures.plural(each.height, 'reading')} marked suspect or fail"
        st.markdown(plain(said) + (f"; the first {MOST_ROWS}:" if marked.height > MOST_ROWS else ":"))
        table = reading_rows.reading_table(marked.head(MOST_ROWS), analyzer.tag, analyzer.unit, span.zone)
        st.dataframe(table, hide_index=True, row_height=30, height="content" if table.height < 9 else 300, alt=said)
    else:
        st.markdown(f":gray[None of {figures.plural(each.height, 'reading')} is marked suspect or fail.]")
    st.download_button(
        "Download readings with file and line", everything.write_csv(), f"{analyzer.tag}.csv", key=f"r {analyzer.tag}"
    )


def every_tag(tags: Tags) -> None:
    """Every tag with its span, gaps and hours out of range."""
    st.subheader(f"Every tag{_known_now()}", anchor=False)
    table = reading_rows.tag_table(tags.overview, data.plant().analyzers, data.plant().zone)
    st.dataframe(
        table, hide_index=True, row_height=30, height="content" if table.height < 13 else 420,
        alt="Every tag that has readings",
    )  # fmt: skip


def tag_name(analyzer: Analyzer) -> str:
    """A tag as a person reads it: what it reads, where, and its name."""
    return f"{analyzer.measures} at {controls.point_name(analyzer.sample_point)} ({analyzer.tag})"


def _known_now() -> str:
    """What to add to a heading whose table is kept of the present only, on a page that shows an earlier knowledge."""
    return " (as known now)" if data.as_known() else ""


def _day_said(name: str) -> date | None:
    try:
        return date.fromisoformat(st.query_params.get(name, ""))
    except ValueError:
        return None


def _write_tags() -> None:
    st.query_params["tag"] = list(st.session_state["pick tags"])


def _write_day(name: str) -> None:
    picked = st.session_state[f"pick day {name}"]
    if isinstance(picked, date):
        st.query_params[name] = picked.isoformat()
