UPDATE reading_month SET parts = parts + $parts
WHERE month = $month
