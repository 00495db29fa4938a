-- Cells that the layout no longer reads stay in the account, as set aside.
INSERT INTO cell_outcome
SELECT
    $load_id, before.cell_id, before.line, before.column_name, 'set aside',
    'the layout does not read this cell any more', NULL, $event_id
FROM current_outcome AS before
LEFT JOIN renumbered USING (cell_id)
WHERE before.load_id = $load_id
    AND renumbered.cell_id IS NULL
    AND before.outcome <> 'set aside'
    AND (before.outcome = 'held' OR NOT $held_only)
