-- What a wording says beside a value: a wording may need the unit of its limit, or a limit that it does not give, by what
-- the value is. A non-detect for which the file gives no limit takes the one that the layout knows; the most particular
-- one wins, and one for a method is more particular than one for a laboratory. The sender, whose aliases and habits apply,
-- is the one named in the file, else the reporting laboratory.
CREATE OR REPLACE TABLE statement AS
WITH said AS (
    SELECT DISTINCT
        said_value.wording_id,
        said_value.named_on,
        reading.unit_rule,
        reading.value_kind = 'below'
            AND reading.value IS NULL
            AND wording.reporting_limit_text = ''
            AND wording.detection_limit_text = '' AS needs_limit
    FROM said_value
    JOIN wording USING (wording_id)
    JOIN value_spelling AS reading USING (value_text, condition_text, qualifier_text)
),
looked_up AS (
    SELECT
        wording.wording_id,
        arg_max(known, 2 * (known.method <> '')::INTEGER + (known.laboratory <> '')::INTEGER) AS best
    FROM wording
    JOIN known_limit AS known
        ON known.analyte = lower(trim(regexp_replace(wording.analyte_text, '\s+', ' ', 'g')))
        AND known.method IN ('', lower(trim(regexp_replace(wording.method_text, '\s+', ' ', 'g'))))
        AND known.laboratory IN ('', lower(trim(regexp_replace(wording.laboratory_text, '\s+', ' ', 'g'))))
    GROUP BY wording.wording_id
)
SELECT
    row_number() OVER () - 1 AS statement_id,
    said.named_on,
    said.unit_rule,
    said.needs_limit,
    wording.* REPLACE (
        coalesce(looked_up.best.value, wording.reporting_limit_text) AS reporting_limit_text,
        coalesce(looked_up.best.unit, wording.limit_unit_text) AS limit_unit_text
    ),
    looked_up.wording_id IS NOT NULL AS limit_looked_up,
    coalesce(nullif(trim(wording.sender_text), ''), trim(wording.laboratory_text)) AS sender
FROM said
JOIN wording USING (wording_id)
LEFT JOIN looked_up ON said.needs_limit AND looked_up.wording_id = said.wording_id
