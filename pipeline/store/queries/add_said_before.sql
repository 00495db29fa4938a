-- What each cell that has to be settled again said before. Held ones only, or all whose outcome may be another now: a
-- result of its own that reads as it did, an empty cell and one set aside for the same reason stay as they are.
INSERT INTO said_before
SELECT
    $load_id, cell.cell_id, before.outcome, before.result_id, known.key_hash,
    coalesce(
        before.outcome IN ('new', 'revision') AND known.key_hash = cell.key_hash
        AND result.content_hash = cell.content_hash AND otherwise.cell_id IS NOT NULL,
        false
    ) AS reading_changed
FROM settling_cell AS cell
LEFT JOIN current_outcome AS before ON before.load_id = $load_id AND before.cell_id = cell.cell_id
LEFT JOIN result ON result.result_id = before.result_id
LEFT JOIN result_key AS known ON known.key_id = result.key_id
LEFT JOIN read_otherwise AS otherwise ON otherwise.cell_id = cell.cell_id
WHERE ($line IS NULL OR (cell.cell_id IN (
    SELECT cell_id FROM arriving_cell WHERE line = $line AND column_name = $column_name
)))
AND CASE
    WHEN $held_only THEN before.outcome = 'held'
    WHEN before.outcome IS NULL THEN true
    WHEN before.outcome IN ('empty', 'set aside')
        THEN before.outcome <> cell.state OR before.reason <> cell.set_aside
    WHEN before.outcome IN ('new', 'revision')
        THEN cell.state NOT IN ('candidate', 'twin') OR known.key_hash <> cell.key_hash
            OR result.content_hash <> cell.content_hash OR otherwise.cell_id IS NOT NULL
    ELSE true
END
