"""Copies of records: backups, each verified by restoring it, and exports."""
