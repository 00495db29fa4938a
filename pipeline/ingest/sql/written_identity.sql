-- Every way in which the file says what a cell is about, numbered.
CREATE OR REPLACE TABLE written_identity AS
SELECT row_number() OVER () - 1 AS identity_id, *
FROM (
    SELECT DISTINCT
        sender, named_on, analyte_text, cas_text, fraction_text, basis_text, unit_text, limit_unit_text, unit_rule
    FROM statement
)
