"""What Django must know to keep records, and nothing of pages; `connect` adds the database.

Also the settings that the type checker's Django plugin reads.
"""

INSTALLED_APPS = ["lungwort.records"]
USE_TZ = True
TIME_ZONE = "UTC"
DATABASES: dict[str, dict[str, object]] = {}
