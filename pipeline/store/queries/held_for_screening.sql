-- Held cells, one a cell, with all the reasons that hold them.
SELECT
    coalesce(any_value(held.analyte), ''),
    coalesce(any_value(held.sample_point), ''),
    any_value(held.collected_on),
    coalesce(string_agg(found.message, ' ' ORDER BY found.rule_id), ''),
    any_value(held.file_name),
    any_value(held.line),
    any_value(held.column_name)
FROM held_as_of($as_of_event) AS held
LEFT JOIN finding AS found
    ON found.load_id = held.load_id
    AND found.cell_id = held.cell_id
    AND found.event_id = held.event_id
    AND found.severity = 'hold'
GROUP BY held.load_id, held.cell_id
ORDER BY held.load_id, held.cell_id
