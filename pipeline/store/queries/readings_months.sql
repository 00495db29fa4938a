-- Months with readings, and in how many parts each stands.
SELECT month, parts
FROM reading_month
ORDER BY month
