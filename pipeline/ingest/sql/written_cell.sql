-- The cells as delivered, with the sender whose aliases and habits apply: named in the file, else the reporting laboratory.
CREATE OR REPLACE TABLE written_cell AS
SELECT
    * REPLACE (trim(reporting_limit_text) AS reporting_limit_text, trim(detection_limit_text) AS detection_limit_text),
    coalesce(nullif(trim(sender_text), ''), trim(laboratory_text)) AS sender,
    '' AS named_on,
    false AS limit_looked_up
FROM delivered_cell
