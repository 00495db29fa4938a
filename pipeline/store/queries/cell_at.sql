-- What stands at a line of a loaded file, and what became of it.
SELECT cell.cell_id, cell.line, cell.column_name, cell.outcome, cell.result_id
FROM current_outcome AS cell
WHERE cell.load_id = $load_id AND cell.line = $line AND ($column_name = '' OR cell.column_name = $column_name)
    AND cell.outcome <> 'empty'
ORDER BY cell.cell_id
