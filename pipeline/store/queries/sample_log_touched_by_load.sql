-- Bottles of which a load tells.
CREATE OR REPLACE TEMP TABLE touched_bottle AS
SELECT DISTINCT logged.key_hash
FROM logged_cell AS said
JOIN logged_sample AS logged USING (logged_id)
WHERE said.load_id = $load_id
