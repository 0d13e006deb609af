"""What writers were told is kept, and whether it is."""

from cast import HILL
from closing import close_all

from lungwort.records.connect import connect
from lungwort.records.verify import verify


def read_acknowledged(path):
    """Return sequence and id of every event that a writer was told is kept."""
    if not path.exists():
        return []
    lines = path.read_text("ascii").splitlines()
    return [(int(sequence), identifier) for sequence, identifier, *_who in map(str.split, lines)]


def look(database, acknowledged):
    """Check that all that was acknowledged is there and the chain whole; return how many events there are."""
    store = connect(database)
    kept = {e.sequence: e.id for e in store.events(HILL)}
    told = read_acknowledged(acknowledged)
    lost = [(sequence, identifier) for sequence, identifier in told if kept.get(sequence) != identifier]
    faults = verify(store).faults
    close_all()  # so that the next writer finds a file nobody holds, as after a real crash
    assert lost == []
    assert faults == ()
    return len(kept), len(told)
