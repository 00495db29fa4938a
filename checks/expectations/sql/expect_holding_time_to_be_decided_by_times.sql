-- Holding times that lie between the least and the most time that can have passed, because only dates are known.
SELECT
    cell_id,
    string_agg(
        start_step || ' to ' || stop_step || ' took ' || elapsed(low_microseconds) || ' to ' || elapsed(high_microseconds)
            || ', and may take ' || max_text,
        '; ' ORDER BY start_step, stop_step
    ) AS doubts
FROM {batch}
JOIN staged_holding_time USING (cell_id)
WHERE kept = 'cannot tell' AND missing_step = '' AND NOT at_once
GROUP BY cell_id
