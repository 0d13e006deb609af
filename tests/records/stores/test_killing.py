"""Writers killed at random in the midst of writing, on SQLite and on PostgreSQL."""

import os
import signal
import time
from random import Random

from acknowledged import look, read_acknowledged
from cast import Writer, washed
from closing import close_all

from lungwort.records.connect import connect

KILLS = int(os.environ.get("LUNGWORT_KILLS", "300"))
LONGEST_LIFE_S = 0.1
LOOK_EVERY = 60


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
