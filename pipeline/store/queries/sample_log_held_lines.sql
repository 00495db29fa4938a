-- Lines of a sheet that are held now.
SELECT cell_id
FROM outcome_as_of(NULL)
WHERE load_id = $load_id AND outcome = 'held'
