SELECT count(*) > 0 FROM decision
