INSERT INTO reading_month VALUES ($month, $parts)
