-- The cells of a load that are settled again. Where the first of two equal rows is not among them, the later one stands
-- for itself: it will be found equal to the stored one.
SELECT
    cell.* REPLACE (
        CASE WHEN cell.state = 'twin' AND of_first.cell_id IS NULL THEN 'candidate' ELSE cell.state END AS state,
        CASE WHEN cell.state = 'twin' AND of_first.cell_id IS NULL THEN cell.cell_id ELSE cell.first_cell_id END
            AS first_cell_id
    )
FROM arriving_cell AS cell
JOIN said_before AS chosen ON chosen.load_id = $load_id AND chosen.cell_id = cell.cell_id
LEFT JOIN said_before AS of_first ON of_first.load_id = $load_id AND of_first.cell_id = cell.first_cell_id
ORDER BY cell.cell_id
