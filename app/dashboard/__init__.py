"""The dashboard: one page a question, every number with its way back to the file and line it came from."""
