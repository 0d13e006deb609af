"""Writers killed at random in the midst of writing, on SQLite and on PostgreSQL."""

import os
import signal
import time
from random import Random

from cast import HILL, Writer, washed
from closing import close_all

from lungwort.records.connect import connect
from lungwort.records.verify import verify

KILLS = int(os.environ.get("LUNGWORT_KILLS", "300"))
LONGEST_LIFE_S = 0.1
LOOK_EVERY = 60


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


def test_what_was_acknowledged_survives_every_kill(database, nursery, tmp_path):
    """A writer is killed 300 times: each acknowledged event stands, the chain is whole, no half state."""
    acknowledged, chance = tmp_path / "acknowledged", Random(20261125)
    close_all()
    for kill in range(KILLS):
        pid = nursery.start(database, acknowledged, who=kill, count=100_000, largest_log=60_000)
        time.sleep(chance.uniform(0, LONGEST_LIFE_S))
        os.kill(pid, signal.SIGKILL)
        assert nursery.wait(pid) == -signal.SIGKILL
        if kill % LOOK_EVERY == LOOK_EVERY - 1:
            look(database, acknowledged)
    kept, told = look(database, acknowledged)
    print(f"{KILLS} kills: {told} events acknowledged, {kept} kept")
    assert kept >= told >= min(KILLS, 30)
    assert Writer(connect(database)).write(washed()).sequence == kept + 1


def test_the_records_survive_a_crash_of_the_server(postgres, new_postgres, nursery, tmp_path):
    """Every process of PostgreSQL ends at once while a writer writes; after its restart nothing is missing."""
    database, acknowledged = new_postgres(), tmp_path / "acknowledged"
    close_all()
    for who in range(3):
        pid = nursery.start(database, acknowledged, who, count=100_000, largest_log=5_000)
        time.sleep(0.4)
        postgres.stop("immediate")
        assert nursery.wait(pid) == 1
        postgres.start()
        look(database, acknowledged)
    assert len(read_acknowledged(acknowledged)) > 3
