INSERT INTO settled
SELECT tag_id, outcome, count(*), min(line), max(line) FROM decided GROUP BY tag_id, outcome
