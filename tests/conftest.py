"""What all tests share: the folder of real logs, where it is at hand."""

import os
import sys
from pathlib import Path

import pytest
from hypothesis import settings

for _helpers in ("evidence", "cli", "protocol"):
    sys.path.insert(0, str(Path(__file__).parent / _helpers))

# The pages' settings of Django and the records' own cannot both be in one process; `make test` runs the pages apart.
_pages = os.environ.get("DJANGO_SETTINGS_MODULE") == "lungwort.web.settings"
collect_ignore = [] if _pages else ["web"]

settings.register_profile("any machine", deadline=None)  # an old PC is slow, and that is no defect
settings.load_profile("any machine")

REAL_LOGS = Path(__file__).parents[2] / "shared" / "data" / "solar-pasteuriser"


@pytest.fixture(scope="session")
def real_logs() -> Path:
    """Return the folder of real hot-water logs kept beside the project; skip where it is absent."""
    if not REAL_LOGS.is_dir():
        pytest.skip("the real logs (doi 10.5281/zenodo.14006906) are not kept beside this checkout")
    return REAL_LOGS
