SELECT cell.* REPLACE (own.cell_id AS cell_id, of_first.cell_id AS first_cell_id)
FROM all_arriving AS cell
JOIN renumbered AS own ON own.read_as = cell.cell_id
LEFT JOIN renumbered AS of_first ON of_first.read_as = cell.first_cell_id
ORDER BY own.cell_id
