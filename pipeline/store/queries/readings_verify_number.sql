-- Whether as many readings count as the days hold together.
SELECT counted.readings, kept.readings
FROM (SELECT count(*) AS readings FROM reading_in_force) AS counted
CROSS JOIN (SELECT coalesce(sum(readings), 0)::BIGINT AS readings FROM reading_day) AS kept
WHERE counted.readings <> kept.readings
