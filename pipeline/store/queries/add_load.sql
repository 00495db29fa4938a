INSERT INTO load VALUES (
    $load_id, $file_id, $file_name, $layout, $layout_sha, $encoding, $event_id,
    $lines_title, $lines_header, $lines_blank, $lines_data
)
