-- Every holding time that was not kept, or of which it cannot be told; one row a cell and clock. The counting is that of
-- pipeline.holding_times: hours on the absolute time line, days and months on the calendar, exactly at the limit in time.
CREATE OR REPLACE TABLE staged_holding_time AS
WITH strictest AS (
    SELECT
        case_id,
        min(least(max_microseconds // 86400000000, max_days, 28 * max_months)) AS days
    FROM holding_rule
    GROUP BY case_id
),
known AS (
    SELECT
        cell_id,
        case_id,
        fraction,
        fraction_meaningful,
        moment(collected_at, collected_on, collected_day.first_minute, collected_day.last_minute) AS collected,
        moment(filtered_at, filtered_on, filtered_day.first_minute, filtered_day.last_minute) AS filtered,
        moment(extracted_at, extracted_on, extracted_day.first_minute, extracted_day.last_minute) AS extracted,
        moment(analyzed_at, analyzed_on, analyzed_day.first_minute, analyzed_day.last_minute) AS analyzed
    FROM cell_to_check
    JOIN cell_holding_case USING (cell_id)
    JOIN strictest USING (case_id)
    JOIN plant_analyte USING (analyte)
    LEFT JOIN local_day AS collected_day ON collected_at IS NULL AND collected_on = collected_day.day
    LEFT JOIN local_day AS filtered_day ON filtered_at IS NULL AND filtered_on = filtered_day.day
    LEFT JOIN local_day AS extracted_day ON extracted_at IS NULL AND extracted_on = extracted_day.day
    LEFT JOIN local_day AS analyzed_day ON analyzed_at IS NULL AND analyzed_on = analyzed_day.day
    -- Most results are in time by days: with every step between the days of collection and analysis no clock can have run
    -- longer than those days together, and an hour where the clock was set back. Only the rest is counted closely.
    WHERE NOT coalesce(
        date_diff('day', collected_on, analyzed_on) + 2 <= strictest.days
            AND (extracted_on IS NULL OR extracted_on BETWEEN collected_on AND analyzed_on)
            AND (filtered_on IS NULL OR filtered_on BETWEEN collected_on AND analyzed_on),
        false
    )
),
clocked AS (
    SELECT
        cell_id,
        holding_rule.*,
        CASE
            WHEN start_step = 'collection' THEN collected
            ELSE coalesce(extracted, moment_between(collected, analyzed))
        END AS started,
        CASE
            WHEN stop_step = 'analysis' THEN analyzed
            WHEN stop_step = 'filtration' THEN coalesce(filtered, moment_between(collected, analyzed))
            ELSE coalesce(extracted, moment_between(collected, analyzed))
        END AS stopped,
        CASE
            WHEN stop_step = 'filtration' AND filtered IS NULL THEN 'filtration'
            WHEN 'extraction' IN (start_step, stop_step) AND extracted IS NULL THEN 'extraction'
            WHEN stop_step = 'elution' AND extracted IS NULL THEN 'elution'
            WHEN stop_step = 'analysis' AND analyzed IS NULL THEN 'analysis'
            ELSE ''
        END AS missing_step
    FROM known
    JOIN holding_rule USING (case_id)
    -- Where the fraction means something only a dissolved one has to be filtered in time.
    WHERE stop_step <> 'filtration'
       OR NOT fraction_meaningful
       OR fraction = 'dissolved'
       OR (fraction = '' AND filtered IS NOT NULL)
),
elapsed AS (
    SELECT
        *,
        time_between(started.latest, stopped.earliest) AS low_microseconds,
        time_between(started.earliest, stopped.latest) AS high_microseconds,
        max_microseconds IS NOT NULL AND (max_days IS NULL OR (started.exact AND stopped.exact)) AS by_hours
    FROM clocked
),
judged AS (
    SELECT
        *,
        CASE
            WHEN started IS NULL OR stopped IS NULL THEN 'cannot tell'
            WHEN by_hours AND low_microseconds > max_microseconds THEN 'late'
            WHEN by_hours AND high_microseconds <= max_microseconds THEN 'in time'
            WHEN by_hours THEN 'cannot tell'
            WHEN max_months IS NULL AND date_diff('day', started.last_day, stopped.first_day) > max_days THEN 'late'
            WHEN max_months IS NULL AND date_diff('day', started.first_day, stopped.last_day) <= max_days THEN 'in time'
            WHEN max_months IS NULL THEN 'cannot tell'
            -- No month has fewer than 28 days; the clamped month is slower to count and seldom needed.
            WHEN date_diff('day', started.first_day, stopped.last_day) <= 28 * max_months THEN 'in time'
            WHEN stopped.first_day > started.last_day + to_months(max_months) THEN 'late'
            WHEN stopped.last_day <= started.first_day + to_months(max_months) THEN 'in time'
            ELSE 'cannot tell'
        END AS kept
    FROM elapsed
)
SELECT
    cell_id, holding_time_id, start_step, stop_step, max_text, at_once, missing_step,
    low_microseconds, high_microseconds, kept
FROM judged
WHERE kept <> 'in time'
