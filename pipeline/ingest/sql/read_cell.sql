-- The cells as read: what is a cell's own, with its value, its times and the number of its statement.
CREATE OR REPLACE TABLE read_cell AS
SELECT
    written.* EXCLUDE (wording_id),
    reading.statement_id,
    reading.value_kind,
    reading.value,
    reading.value_problem,
    reading.estimated,
    reading.canonical_value,
    reading.canonical_reporting_limit,
    uncertainty.number AS uncertainty,
    CASE WHEN stated.is_quality_control THEN 'quality control' ELSE coalesce(logged.meaning, stated.purpose_by_word) END
        AS purpose,
    coalesce(nullif(trim(written.confirmation_of_text), ''), logged.confirmation_of, '') AS confirmation_of,
    collected.instant AS collected_at,
    collected.local_date AS collected_on,
    collected.problem AS collected_problem,
    received.instant AS received_at,
    received.local_date AS received_on,
    filtered.instant AS filtered_at,
    filtered.local_date AS filtered_on,
    extracted.instant AS extracted_at,
    extracted.local_date AS extracted_on,
    analyzed.instant AS analyzed_at,
    analyzed.local_date AS analyzed_on,
    concat_ws(
        ' ',
        nullif(collected.doubt, ''),
        nullif(received.problem || received.doubt, ''),
        nullif(filtered.problem || filtered.doubt, ''),
        nullif(extracted.problem || extracted.doubt, ''),
        nullif(analyzed.problem || analyzed.doubt, ''),
        nullif(reported.problem, '')
    ) AS time_problem,
    temperature.number AS receipt_temperature_c,
    reported.local_date AS reported_on
FROM written_cell AS written
JOIN time_spelling AS collected ON collected.text = written.collected_text
JOIN read_value AS reading
    ON reading.wording_id = written.wording_id
    AND reading.value_text = written.value_text
    AND reading.named_on = CASE WHEN $by_day THEN coalesce(collected.local_date::VARCHAR, '') ELSE '' END
JOIN read_statement AS stated ON stated.statement_id = reading.statement_id
LEFT JOIN purpose_spelling AS logged
    ON logged.sample_text <> '' AND logged.sample_text = written.sample_text AND logged.purpose_text = stated.purpose_text
JOIN number_spelling AS uncertainty ON uncertainty.text = written.uncertainty_text
JOIN number_spelling AS temperature ON temperature.text = written.receipt_temperature_text
JOIN time_spelling AS received ON received.text = written.received_text
JOIN time_spelling AS filtered ON filtered.text = written.filtered_text
JOIN time_spelling AS extracted ON extracted.text = written.extracted_text
JOIN time_spelling AS analyzed ON analyzed.text = written.analyzed_text
JOIN time_spelling AS reported ON reported.text = written.reported_text
