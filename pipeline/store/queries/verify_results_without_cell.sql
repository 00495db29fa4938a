SELECT result.result_id
FROM result
LEFT JOIN cell_outcome AS cell
    ON cell.load_id = result.load_id
    AND cell.cell_id = result.cell_id
    AND cell.event_id = result.event_id
    AND cell.result_id = result.result_id
    AND cell.outcome IN ('new', 'revision')
WHERE cell.result_id IS NULL
