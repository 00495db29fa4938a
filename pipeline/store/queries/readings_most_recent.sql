SELECT max(day) FROM reading_day
