-- Samples that waited longer for a step than their holding time allows.
SELECT
    cell_id,
    max_text,
    holding_time_id,
    elapsed(low_microseconds)
        || CASE WHEN high_microseconds > low_microseconds THEN ' to ' || elapsed(high_microseconds) ELSE '' END AS waited
FROM {batch}
JOIN staged_holding_time USING (cell_id)
WHERE kept = 'late' AND start_step = '{start_step}' AND stop_step = '{stop_step}' AND NOT at_once
