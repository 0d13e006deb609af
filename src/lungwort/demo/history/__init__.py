"""A year or more of an invented hospital, written through the same deeds as any other records."""
