-- The values as read, each with the statement that it stands in.
CREATE OR REPLACE TABLE stated_value AS
SELECT
    said_value.wording_id,
    said_value.value_text,
    said_value.named_on,
    statement.statement_id,
    -- A row with too few or too many cells may have every text in the wrong column: none of it is believed.
    CASE WHEN stated.row_problem <> '' THEN 'unreadable' ELSE reading.value_kind END AS value_kind,
    CASE
        WHEN stated.row_problem <> '' THEN NULL
        WHEN reading.value IS NULL AND reading.value_kind = 'below' AND reading.at_detection_limit
            THEN coalesce(stated.detection_limit, stated.reporting_limit)
        WHEN reading.value IS NULL AND reading.value_kind IN ('below', 'above')
            THEN coalesce(stated.reporting_limit, stated.detection_limit)
        ELSE reading.value
    END AS value,
    coalesce(nullif(stated.row_problem, ''), reading.value_problem) AS value_problem,
    reading.estimated,
    coalesce(stated.reporting_limit, stated.detection_limit) AS either_limit,
    stated.convertible,
    stated.factor,
    stated.addend
FROM said_value
JOIN wording USING (wording_id)
JOIN value_spelling AS reading USING (value_text, condition_text, qualifier_text)
JOIN statement
    ON statement.wording_id = said_value.wording_id
    AND statement.named_on = said_value.named_on
    AND statement.unit_rule = reading.unit_rule
    AND statement.needs_limit = (
        reading.value_kind = 'below'
        AND reading.value IS NULL
        AND wording.reporting_limit_text = ''
        AND wording.detection_limit_text = ''
    )
JOIN read_statement AS stated ON stated.statement_id = statement.statement_id
