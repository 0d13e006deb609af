"""Science: pure functions on floats and numpy arrays. No files, no clock, no database."""
