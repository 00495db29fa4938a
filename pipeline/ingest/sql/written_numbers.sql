-- Every text that should be a plain number, once.
CREATE OR REPLACE TABLE written_number AS
SELECT DISTINCT text
FROM (
    SELECT unnest([uncertainty_text, receipt_temperature_text, dilution_text, revision_text]) AS text
    FROM written_cell
)
