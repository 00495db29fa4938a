-- How many readings arrived on each day [UTC] of each tag: by this the load is divided into parts.
SELECT read_us // 86400000000 AS day_number, tag_id, count(*) AS readings
FROM arrived
GROUP BY ALL
ORDER BY ALL
