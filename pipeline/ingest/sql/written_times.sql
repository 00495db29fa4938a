-- Every text that should be a date or time, once.
CREATE OR REPLACE TABLE written_time AS
SELECT collected_text AS text FROM written_cell
UNION SELECT received_text FROM written_cell
UNION SELECT filtered_text FROM written_cell
UNION SELECT extracted_text FROM written_cell
UNION SELECT analyzed_text FROM written_cell
UNION SELECT reported_text FROM written_cell
