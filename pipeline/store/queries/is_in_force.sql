SELECT count(*) > 0 FROM in_force WHERE result_id = $result_id AND to_event IS NULL
