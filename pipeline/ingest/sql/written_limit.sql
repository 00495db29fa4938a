-- Every detection and reporting limit as written, with what it is a limit of.
CREATE OR REPLACE TABLE written_limit AS
SELECT DISTINCT identity_id, text
FROM (
    SELECT identity_id, unnest([detection_limit_text, reporting_limit_text]) AS text
    FROM written_cell
    JOIN cell_identity USING (cell_id)
)
