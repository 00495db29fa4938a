-- Between which instants readings of each tag may have changed.
SELECT said.tag_id, min(said.read_at), max(said.read_at), tag.time_zone
FROM said_beside AS said
JOIN analyzer_tag AS tag USING (tag_id)
GROUP BY said.tag_id, tag.time_zone
ORDER BY said.tag_id
