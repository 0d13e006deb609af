"""Append-only events, chained by hash: the only room that knows Django and a database."""
