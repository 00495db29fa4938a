-- Tags and times whose older reading no longer counts.
SELECT tag_id, make_timestamptz(read_us) AS read_at FROM revised
