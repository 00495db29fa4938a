-- Samples below freezing at receipt where the method says that they may not be.
SELECT DISTINCT cell_id
FROM {batch}
JOIN cell_holding_case USING (cell_id)
JOIN holding_rule USING (case_id)
WHERE receipt_temperature_c < 0 AND NOT may_freeze
