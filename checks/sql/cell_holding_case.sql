-- The combination that each cell belongs to.
CREATE OR REPLACE TABLE cell_holding_case AS
SELECT cell.cell_id, holding_case.case_id
FROM cell_to_check AS cell
LEFT JOIN plant_point USING (sample_point)
JOIN holding_case
    ON holding_case.analyte = cell.analyte
    AND holding_case.method_text = cell.method_text
    AND holding_case.preservation_text = cell.preservation_text
    AND holding_case.disinfected IS NOT DISTINCT FROM plant_point.disinfected
WHERE can_be_late
