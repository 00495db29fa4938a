-- Where an alias holds between dates only, the day of collection is part of what a name means.
UPDATE written_cell
SET named_on = coalesce(collected.local_date::VARCHAR, '')
FROM time_spelling AS collected
WHERE collected.text = written_cell.collected_text
