CREATE OR REPLACE TEMP TABLE part AS
SELECT part.*
FROM part
ANTI JOIN (FROM twin WHERE fate <> 'kept') AS left_out USING (tag_id, read_us, line)
ORDER BY tag_id, read_us
