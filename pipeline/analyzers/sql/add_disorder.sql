-- Readings that stand in the file before an earlier one of their tag.
INSERT INTO found
SELECT tag_id, 'reading_out_of_order', count(*), min(line), max(line)
FROM (SELECT tag_id, line, tag_id = lag(tag_id) OVER () AND line < lag(line) OVER () AS is_behind FROM part)
WHERE is_behind
GROUP BY tag_id
