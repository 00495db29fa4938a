UPDATE reading_month SET parts = 1
WHERE month = $month
