-- Each value, and the limit beside it, also in the canonical unit and basis; as reported where that is the canonical one.
CREATE OR REPLACE TABLE read_value AS
SELECT
    stated.wording_id, stated.value_text, stated.named_on, stated.statement_id, stated.value_kind, stated.value,
    stated.value_problem, stated.estimated,
    CASE
        WHEN NOT stated.convertible THEN NULL
        WHEN (stated.factor, stated.addend) = ('1', '0') THEN stated.value
        ELSE of_value.converted
    END AS canonical_value,
    CASE
        WHEN NOT stated.convertible THEN NULL
        WHEN (stated.factor, stated.addend) = ('1', '0') THEN stated.either_limit
        ELSE of_limit.converted
    END AS canonical_reporting_limit
FROM stated_value AS stated
LEFT JOIN converted_value AS of_value
    ON of_value.value = stated.value AND of_value.factor = stated.factor AND of_value.addend = stated.addend
LEFT JOIN converted_value AS of_limit
    ON of_limit.value = stated.either_limit AND of_limit.factor = stated.factor AND of_limit.addend = stated.addend
