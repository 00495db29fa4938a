-- The cells of a load that is read again, by the numbers that they have in the store: the same line and column is the
-- same cell. Cells that the layout did not read before come after all others.
CREATE OR REPLACE TEMP TABLE renumbered AS
WITH known AS (
    SELECT cell_id, line, column_name, row_number() OVER (PARTITION BY line, column_name ORDER BY cell_id) AS place
    FROM current_outcome
    WHERE load_id = $load_id
),
arriving AS (
    SELECT cell_id, line, column_name, row_number() OVER (PARTITION BY line, column_name ORDER BY cell_id) AS place
    FROM all_arriving
)
SELECT
    arriving.cell_id AS read_as,
    coalesce(
        known.cell_id,
        (SELECT coalesce(max(cell_id), -1) FROM known)
        + row_number() OVER (PARTITION BY known.cell_id IS NULL ORDER BY arriving.cell_id)
    ) AS cell_id
FROM arriving
LEFT JOIN known USING (line, column_name, place)
