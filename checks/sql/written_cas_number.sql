-- Every CAS number of the load, looked at once, for the check digit is slow to count.
CREATE OR REPLACE TABLE written_cas_number AS
SELECT cas_text, trim(cas_text) AS written_number, is_cas_number(trim(cas_text)) AS sound
FROM (SELECT DISTINCT cas_text FROM cell_to_check WHERE cas_text <> '')
