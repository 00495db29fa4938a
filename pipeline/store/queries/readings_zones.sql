SELECT DISTINCT time_zone FROM analyzer_tag ORDER BY time_zone
