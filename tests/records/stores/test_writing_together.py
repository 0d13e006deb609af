"""Eight processes that append to the same place at once."""

from collections import Counter, defaultdict

from cast import HILL
from closing import close_all

from lungwort.records.connect import connect
from lungwort.records.verify import verify

WRITERS, EVENTS = 8, 10_000


def test_eight_writers_lose_no_update(database, nursery, tmp_path):
    """10,000 events in all: each acknowledged once, each kept, in one unbroken chain, each writer's own in order."""
    acknowledged = tmp_path / "acknowledged"
    close_all()
    pids = [nursery.start(database, acknowledged, who, EVENTS // WRITERS) for who in range(WRITERS)]
    assert [nursery.wait(pid) for pid in pids] == [0] * WRITERS
    told = [line.split() for line in acknowledged.read_text("ascii").splitlines()]
    store = connect(database)
    kept = [(str(e.sequence), e.id) for e in store.events(HILL)]
    assert sorted((sequence, identifier) for sequence, identifier, *_rest in told) == sorted(kept)
    assert [int(sequence) for sequence, _id in kept] == list(range(1, EVENTS + 1))
    own = defaultdict(list)
    for sequence, _id, who, number in told:
        own[who].append((int(sequence), int(number)))
    assert Counter({who: len(events) for who, events in own.items()}) == dict.fromkeys(
        map(str, range(WRITERS)), EVENTS // WRITERS
    )
    assert all(events == sorted(events) for events in own.values())
    assert verify(store).whole
