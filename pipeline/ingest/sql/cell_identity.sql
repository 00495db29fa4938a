-- Which way of saying what it is about each cell carries.
CREATE OR REPLACE TABLE cell_identity AS
SELECT written.cell_id, named.identity_id
FROM written_cell AS written
JOIN value_spelling AS reading USING (value_text, condition_text, qualifier_text)
JOIN written_identity AS named
    USING (sender, named_on, analyte_text, cas_text, fraction_text, basis_text, unit_text, limit_unit_text, unit_rule)
