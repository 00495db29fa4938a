-- What the file alone decides of each cell. Equal keys within one file: equal content is one result said twice, the
-- later rows are twins of the first; different content is two claims about one result, and all of them are held.
CREATE OR REPLACE TABLE cell_state AS
WITH met AS (
    SELECT
        cell_id,
        min(cell_id) OVER (PARTITION BY key_hash) AS first_cell_id,
        min(content_hash) OVER (PARTITION BY key_hash) <> max(content_hash) OVER (PARTITION BY key_hash) AS contradicted
    FROM keyed_cell
)
SELECT
    staged.cell_id,
    CASE
        WHEN staged.set_aside <> '' THEN 'set aside'
        WHEN staged.value_kind = 'empty' THEN 'empty'
        WHEN met.cell_id IS NULL OR met.contradicted THEN 'held'
        WHEN met.first_cell_id < staged.cell_id THEN 'twin'
        ELSE 'candidate'
    END AS state,
    CASE WHEN NOT met.contradicted THEN met.first_cell_id END AS first_cell_id
FROM staged_cell AS staged
LEFT JOIN met USING (cell_id)
