-- Every word for the purpose of a sample; and for samples of the plant's log again, because the log speaks where the word
-- is missing.
CREATE OR REPLACE TABLE written_purpose AS
SELECT DISTINCT purpose_text, '' AS sample_text
FROM statement
UNION
SELECT wording.purpose_text, written.sample_text
FROM written_cell AS written
JOIN logged_sample ON logged_sample.sample = trim(written.sample_text, $blanks)
JOIN wording USING (wording_id)
