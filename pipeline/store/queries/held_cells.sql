-- Cells that are held, one row a finding that holds them.
SELECT held.* EXCLUDE (event_id), found.rule_id, found.message, found.remedy
FROM held_as_of($as_of_event) AS held
LEFT JOIN finding AS found
    ON found.load_id = held.load_id
    AND found.cell_id = held.cell_id
    AND found.event_id = held.event_id
    AND found.severity = 'hold'
WHERE $load_id IS NULL OR held.load_id = $load_id
ORDER BY held.load_id DESC, held.line, found.rule_id
