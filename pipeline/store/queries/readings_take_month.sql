CREATE OR REPLACE TEMP TABLE month_in_order AS
FROM reading
WHERE read_at >= $start AND read_at < $end
