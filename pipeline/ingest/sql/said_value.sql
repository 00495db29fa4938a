-- Which values stand in which wordings. Where an alias holds between dates only, the day of collection is part of what a
-- name means, and of this.
CREATE OR REPLACE TABLE said_value AS
SELECT DISTINCT
    written.wording_id,
    written.value_text,
    CASE WHEN $by_day THEN coalesce(collected.local_date::VARCHAR, '') ELSE '' END AS named_on
FROM written_cell AS written
JOIN time_spelling AS collected ON collected.text = written.collected_text
