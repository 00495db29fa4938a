"""Top floor: what people touch. The command line, the dashboard and the reports, composed from checks and pipeline."""
