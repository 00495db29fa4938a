-- Every word on which line a cell is, and when its load was taken back (null: never) or the cell read again.
SELECT
    said.logged_id, logged.key_hash, coalesce(logged.revision, 0) AS revision, logged.issued_on, logged.filled,
    said.event_id AS from_event,
    least(
        (SELECT min(event_id) FROM withdrawal WHERE withdrawal.load_id = said.load_id),
        (
            SELECT min(later.event_id)
            FROM cell_outcome AS later
            WHERE later.load_id = said.load_id AND later.cell_id = said.cell_id AND later.event_id > said.event_id
        )
    ) AS to_event
FROM logged_cell AS said
JOIN logged_sample AS logged USING (logged_id)
