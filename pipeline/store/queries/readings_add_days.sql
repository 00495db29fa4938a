INSERT INTO reading_day BY NAME
FROM arriving_day
WHERE readings > 0
