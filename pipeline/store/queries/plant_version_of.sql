SELECT plant_version FROM plant_version WHERE sha256 = $sha256
