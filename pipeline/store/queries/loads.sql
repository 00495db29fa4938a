-- Every load with what became of its lines and cells, newest first.
SELECT
    load.load_id, event.happened_at AS loaded_at, event.who, load.file_name, load.layout, load.encoding,
    load.lines_title, load.lines_header, load.lines_blank, load.lines_data,
    account.* EXCLUDE (load_id), file.sha256,
    taken_back.happened_at AS withdrawn_at, coalesce(withdrawn.reason, '') AS withdrawn_because
FROM load
JOIN event USING (event_id)
JOIN file USING (file_id)
JOIN whole_account_as_of($as_of_event) AS account USING (load_id)
LEFT JOIN withdrawn_as_of($as_of_event) AS withdrawn ON withdrawn.load_id = load.load_id
LEFT JOIN event AS taken_back ON taken_back.event_id = withdrawn.event_id
ORDER BY load.load_id DESC
