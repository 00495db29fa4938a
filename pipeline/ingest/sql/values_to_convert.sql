-- Values, and the limits that stand beside them, each with the way to the analyte's canonical unit and basis.
CREATE OR REPLACE TABLE value_to_convert AS
SELECT DISTINCT value, factor, addend
FROM (
    SELECT unnest([value, either_limit]) AS value, factor, addend
    FROM stated_value
    WHERE convertible AND (factor, addend) <> ('1', '0')
)
WHERE value IS NOT NULL
