-- Every load with what became of its lines and cells, newest first.
SELECT
    load.load_id, event.happened_at AS loaded_at, event.who, load.file_name, load.layout, load.encoding,
    load.lines_title, load.lines_header, load.lines_blank, load.lines_data,
    account.* EXCLUDE (load_id), file.sha256
FROM load
JOIN event USING (event_id)
JOIN file USING (file_id)
JOIN load_account AS account USING (load_id)
ORDER BY load.load_id DESC
