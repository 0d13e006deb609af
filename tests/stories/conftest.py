"""The cast of the records' tests can be imported by name."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "records" / "life"))
