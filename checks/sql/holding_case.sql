-- The distinct combinations for which holding times have to be chosen.
CREATE OR REPLACE TABLE holding_case AS
SELECT row_number() OVER () AS case_id, *
FROM (
    SELECT DISTINCT analyte, method_text, preservation_text, disinfected
    FROM cell_to_check
    LEFT JOIN plant_point USING (sample_point)
    WHERE analyte IS NOT NULL AND can_be_late
)
