-- The first and last minute (microseconds) of each day of the plant that a date without a time names.
CREATE OR REPLACE TABLE local_day AS
SELECT
    day,
    epoch_us(timezone($zone, day::TIMESTAMP)) AS first_minute,
    epoch_us(timezone($zone, (day + 1)::TIMESTAMP)) - 60 * 1000000 AS last_minute
FROM (
    SELECT collected_on AS day FROM cell_to_check WHERE collected_at IS NULL
    UNION SELECT filtered_on FROM cell_to_check WHERE filtered_at IS NULL
    UNION SELECT extracted_on FROM cell_to_check WHERE extracted_at IS NULL
    UNION SELECT analyzed_on FROM cell_to_check WHERE analyzed_at IS NULL
)
WHERE day IS NOT NULL
