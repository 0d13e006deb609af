"""Where records are kept: memory, SQLite or PostgreSQL, all offering the same."""
