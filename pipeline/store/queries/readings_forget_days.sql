DELETE FROM reading_day
WHERE list_contains($tags, tag_id)
