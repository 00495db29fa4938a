-- The arriving cells that the store holds now. Where the first of two equal rows is settled already, the later one
-- stands for itself: it will be found equal to the stored one.
SELECT
    cell.* REPLACE (
        CASE WHEN cell.state = 'twin' AND first_held.cell_id IS NULL THEN 'candidate' ELSE cell.state END AS state,
        CASE WHEN cell.state = 'twin' AND first_held.cell_id IS NULL THEN cell.cell_id ELSE cell.first_cell_id END
            AS first_cell_id
    )
FROM all_arriving AS cell
JOIN current_outcome AS held ON held.cell_id = cell.cell_id AND held.load_id = $load_id AND held.outcome = 'held'
LEFT JOIN current_outcome AS first_held
    ON first_held.cell_id = cell.first_cell_id AND first_held.load_id = $load_id AND first_held.outcome = 'held'
ORDER BY cell.cell_id
