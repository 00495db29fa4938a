INSERT INTO plant_version
SELECT (SELECT coalesce(max(plant_version), 0) + 1 FROM plant_version), $sha256, $other
RETURNING plant_version
