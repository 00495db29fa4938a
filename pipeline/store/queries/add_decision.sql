INSERT INTO decision VALUES (
    $event_id, $scope, $action, $key_hash, $content_hash, $file_sha256, $line, $column_name, $sample_point, $sample,
    $analyte, $fraction, $reason, $agency_reference
)
