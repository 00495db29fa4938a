-- Every detection and reporting limit as written, with what it is a limit of.
CREATE OR REPLACE TABLE written_limit AS
SELECT DISTINCT identity_id, text
FROM (
    SELECT identity_id, unnest([detection_limit_text, reporting_limit_text]) AS text
    FROM statement
    JOIN written_identity
        USING (sender, named_on, analyte_text, cas_text, fraction_text, basis_text, unit_text, limit_unit_text, unit_rule)
)
