SELECT found.* REPLACE (own.cell_id AS cell_id)
FROM all_findings AS found
JOIN renumbered AS own ON own.read_as = found.cell_id
