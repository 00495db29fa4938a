INSERT INTO held_text
SELECT
    $load_id, cell.cell_id, $event_id, cell.laboratory_text, cell.sample_text, cell.point_text, cell.analyte_text,
    cell.value_text, cell.unit_text, cell.collected_text, cell.analyte, cell.sample_point, cell.collected_on
FROM decided
JOIN arriving_cell AS cell USING (cell_id)
WHERE decided.outcome = 'held'
