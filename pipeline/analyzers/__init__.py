"""Online readings: files of the historian become readings by tag and time, with gaps, ranges and days on top."""
