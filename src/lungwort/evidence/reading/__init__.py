"""Reading logs and hand readings, with every repair and assumption listed and nothing guessed."""

from lungwort.evidence.reading.declared import Declared
from lungwort.evidence.reading.hand import read_hand
from lungwort.evidence.reading.read import read_log, read_log_bytes

__all__ = ["Declared", "read_hand", "read_log", "read_log_bytes"]
