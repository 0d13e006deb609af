"""Library: facts as data, each with its source and its basis."""
