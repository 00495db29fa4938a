-- Versions of the arriving results that a load which was not withdrawn says, other than the cells that are being read
-- again: what they said before no longer stands against what they say now.
CREATE OR REPLACE TEMP TABLE asserted_version AS
SELECT
    version.*,
    known.key_hash,
    load.file_id = (SELECT file_id FROM load WHERE load_id = $load_id) AS of_the_same_file
FROM result AS version
JOIN result_key AS known USING (key_id)
JOIN load USING (load_id)
WHERE known.key_hash IN (SELECT key_hash FROM settling_cell WHERE state = 'candidate')
    AND version.result_id IN (
        SELECT said.result_id
        FROM assertion AS said
        LEFT JOIN said_before AS own
            ON own.load_id = said.load_id AND own.cell_id = said.cell_id AND said.event_id < $event_id
        WHERE own.cell_id IS NULL
    )
