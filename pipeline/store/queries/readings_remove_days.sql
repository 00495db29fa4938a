DELETE FROM reading_day
USING arriving_day
WHERE reading_day.tag_id = arriving_day.tag_id AND reading_day.day = arriving_day.day
