"""The only code that opens the store: one DuckDB file and the archive of everything that was delivered."""
