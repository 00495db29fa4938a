DELETE FROM analyzer_tag
WHERE tag_id = $tag_id
