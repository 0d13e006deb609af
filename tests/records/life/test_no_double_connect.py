"""Eight who want the same parts and the same set-ups at once: exactly one gets each, the others are told why not."""

import json
import subprocess
import sys
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from pathlib import Path
from threading import Barrier

import pytest
import rival
from closing import close_all
from life_cast import House, open_house
from life_protocol import FILTER, VENTILATOR

from lungwort.records.connect import connect
from lungwort.records.states.kinds import PartState, PatientState, SetUpState
from lungwort.records.verify import verify

RIVALS, SET_UPS, PARTS = 8, 4, 4


@pytest.fixture
def plan(database) -> tuple[House, dict[str, list[str]]]:
    """Return a hospital in a database: checked set-ups, packets to join, and a machine for each of the eight."""
    house = open_house(connect(database))
    with house.book.store.together():
        machines = [house.ready(VENTILATOR) for _ in range(SET_UPS + RIVALS)]
        set_ups = [house.checked(machine, [house.new(FILTER)]) for machine in machines[RIVALS:]]
        parts = [house.new(FILTER) for _ in range(PARTS)]
    return house, {"set_ups": set_ups, "parts": parts, "machines": machines[:RIVALS]}


def check(house: House, plan: dict[str, list[str]], told: list[list[list[str]]]) -> None:
    """Check that each set-up and each part was won once, and that everybody else was refused."""
    won = Counter((what, code) for one in told for what, code, outcome in one if outcome == "won")
    assert {code for what, code in won if what == "connect"} == set(plan["set_ups"])
    assert {code for what, code in won if what == "join"} == set(plan["parts"])
    assert set(won.values()) == {1}
    states = list(house.view().states(SetUpState, "in use"))
    assert len({state.patient for state in states}) == len(states) == SET_UPS
    parts = list(house.view().states(PartState))
    assert all(part.uses <= 1 for part in parts)
    assert Counter(
        p.set_up for p in parts if p.single_patient and p.set_up in plan["set_ups"]
    ) == dict.fromkeys(plan["set_ups"], 1)
    assert all(len(p.set_ups) == 1 for p in house.view().states(PatientState))
    events = Counter(thing.code for e in house.events() if e.what == "set_up.joined" for thing in e.things)
    assert all(events[code] == 1 for code in plan["parts"])
    assert verify(house.book.store).whole


def test_of_eight_threads_one_gets_each(plan):
    """On SQLite and on PostgreSQL; each thread has a connection of its own."""
    house, wanted = plan
    together, begin = Barrier(RIVALS), house.now + timedelta(minutes=1)

    def one(who: int) -> list[list[str]]:
        together.wait()
        try:
            return rival.compete(house.book.store, house.book.place, who, wanted, begin)
        finally:
            close_all()

    with ThreadPoolExecutor(RIVALS) as threads:
        told = list(threads.map(one, range(RIVALS)))
    check(house, wanted, told)


@pytest.mark.parametrize("database", ["sqlite"], indirect=True)
def test_of_eight_processes_one_gets_each(plan, database, tmp_path):
    """Eight machines on one file."""
    house, wanted = plan
    gate = tmp_path / "go"
    told = [str(database), house.book.place]
    command = [sys.executable, rival.__file__, *told]
    running = [
        subprocess.Popen(
            [*command, str(who), json.dumps(wanted), str(gate)], stdout=subprocess.PIPE, text=True
        )
        for who in range(RIVALS)
    ]
    Path(gate).touch()
    answers = [one.communicate()[0] for one in running]
    assert [one.returncode for one in running] == [0] * RIVALS
    check(house, wanted, [json.loads(answer) for answer in answers])
