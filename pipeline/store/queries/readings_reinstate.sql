-- What other loads still say counts in the place of what was taken back.
INSERT INTO reading
SELECT said.tag_id, said.read_at, said.value, said.flag, said.line, said.delivered_by, $change_id
FROM said_beside AS said
WHERE said.delivered_by IS NOT NULL
    AND NOT EXISTS (
        SELECT 1
        FROM reading_in_force AS reading
        WHERE reading.tag_id = said.tag_id AND reading.read_at = said.read_at
    )
ORDER BY said.tag_id, said.read_at
