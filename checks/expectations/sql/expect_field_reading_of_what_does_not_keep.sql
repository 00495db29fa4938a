-- Laboratory results of what has to be measured within minutes: they are always late.
SELECT cell_id, max_text, coalesce('after ' || elapsed(high_microseconds), 'at a time that is not given') AS waited
FROM {batch}
JOIN staged_holding_time USING (cell_id)
WHERE at_once
