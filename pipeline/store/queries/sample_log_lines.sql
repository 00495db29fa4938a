-- Lines in force as of an event, each with where it stands; null stands for now.
SELECT line.*, load.file_name
FROM sample_line_as_of($as_of_event) AS line
JOIN load USING (load_id)
ORDER BY line.collected_on, line.sample, line.laboratory, line.bottle
