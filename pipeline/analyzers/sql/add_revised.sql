INSERT INTO revised
SELECT tag_id, read_us FROM decided WHERE outcome = 'revision'
