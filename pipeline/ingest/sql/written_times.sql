-- Every text that should be a date or time, once.
CREATE OR REPLACE TABLE written_time AS
SELECT DISTINCT text
FROM (
    SELECT unnest([collected_text, received_text, filtered_text, extracted_text, analyzed_text, reported_text]) AS text
    FROM written_cell
)
