-- The readings of a month, at the end of the table and in order; those where they stood are removed before.
INSERT INTO reading
FROM month_in_order
ORDER BY tag_id, read_at
