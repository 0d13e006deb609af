"""Demo: an invented highland hospital, its five cycles and the small physical model behind their logs."""
