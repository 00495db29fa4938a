-- Every way in which the file writes a value, with what beside it decides how it is read.
CREATE OR REPLACE TABLE written_value AS
SELECT DISTINCT said_value.value_text, wording.condition_text, wording.qualifier_text
FROM said_value
JOIN wording USING (wording_id)
