-- Everything that the store needs to know of the cells of one file.
SELECT
    staged.*,
    state.state,
    state.first_cell_id,
    keyed.* EXCLUDE (cell_id)
FROM staged_cell AS staged
JOIN cell_state AS state USING (cell_id)
LEFT JOIN keyed_cell AS keyed USING (cell_id)
