INSERT INTO cell_outcome
SELECT
    $load_id, cell.cell_id, cell.line, cell.column_name, decided.outcome, settling_cell.set_aside, decided.result_id, $event_id
FROM decided
JOIN settling_cell USING (cell_id)
JOIN arriving_cell AS cell USING (cell_id)
ORDER BY cell.cell_id
