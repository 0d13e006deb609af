"""The demonstration's hospital in its folder: made anew only where nothing is lost."""

from datetime import UTC, datetime, timedelta

import pytest

from lungwort.demo.history.folder import make_hospital, untouched
from lungwort.demo.history.present import held, standing
from lungwort.errors import LungwortError
from lungwort.records.chain.event import Draft
from lungwort.records.chain.seal import seal_read
from lungwort.records.connect import connect, disconnect
from lungwort.records.life.held import hold_words
from lungwort.records.look_back.ask import look_back
from lungwort.records.look_back.question import failed_cycle, positive_indicator
from lungwort.records.verify import verify

NOW = datetime(2026, 11, 25, 16, 20, tzinfo=UTC)
SHORT = {"beds": 1, "years": 0.03}


@pytest.fixture
def made(tmp_path):
    """Return a hospital of one bed and eleven days in a folder of its own."""
    return make_hospital(tmp_path / "demo", NOW, **SHORT)


def add_something(path):
    """Record one event more, as somebody who tries things out."""
    store = connect(path)
    place = store.places()[0]
    store.append(place, Draft(NOW, "N-01", "note.written"), lambda: NOW, lambda n: bytes(n))
    disconnect(path)


def test_it_is_one_file_whole_and_sealed(made):
    """The database, its seal beside it, nothing half done."""
    names = sorted(path.name for path in made.path.parent.iterdir())
    assert names == ["hospital.db", "hospital.seal.txt"]
    report = verify(connect(made.path, read_only=True), [seal_read(made.seal_path.read_text())])
    disconnect(made.path, read_only=True)
    assert report.whole


def test_an_untouched_one_is_made_anew_under_its_name(made):
    """Run again a day later, the history ends a day later."""
    again = make_hospital(made.path.parent, NOW + timedelta(days=1), **SHORT)
    assert (again.path, again.instead_of) == (made.path, None)
    assert again.seal != made.seal


def test_one_in_which_somebody_recorded_is_left_alone(made):
    """The next free name is taken, and the other stays byte for byte as it was."""
    add_something(made.path)
    before = made.path.read_bytes()
    again = make_hospital(made.path.parent, NOW, **SHORT)
    assert (again.path.name, again.instead_of) == ("hospital-2.db", made.path)
    assert made.path.read_bytes() == before
    third = make_hospital(made.path.parent, NOW, **SHORT)
    assert third.path.name == "hospital-2.db"


@pytest.mark.parametrize("content", [b"", b"not a database"])
def test_a_file_of_that_name_that_is_something_else_is_left_alone(tmp_path, content):
    """Whatever it is."""
    (tmp_path / "hospital.db").write_bytes(content)
    made = make_hospital(tmp_path, NOW, **SHORT)
    assert made.path.name == "hospital-2.db"
    assert (tmp_path / "hospital.db").read_bytes() == content


def test_one_without_its_seal_is_not_taken_for_untouched(made):
    """Nobody can tell then whether something was added."""
    assert untouched(made.path)
    made.seal_path.unlink()
    assert not untouched(made.path)


def test_what_an_interrupted_run_left_is_cleared_away(tmp_path):
    """The unfinished file is not the hospital's name, and is gone after the next run."""
    (tmp_path / ".hospital-unfinished.db").write_bytes(b"half")
    made = make_hospital(tmp_path, NOW, **SHORT)
    assert sorted(path.name for path in tmp_path.iterdir()) == [made.path.name, made.seal_path.name]


def test_a_folder_that_cannot_be_made_is_told_of(tmp_path):
    """The message names the folder and the remedy."""
    (tmp_path / "file").write_text("here")
    with pytest.raises(LungwortError, match="name a folder you may write to"):
        make_hospital(tmp_path / "file", NOW, **SHORT)


def test_the_demonstrations_own_year_has_a_story_to_tell(tmp_path):
    """Seven beds and a year: several patients, found exactly; something in use, ready and held; exceptions."""
    made = make_hospital(tmp_path, NOW)
    planted, view = made.history.planted, connect(made.path).view(made.history.place, lambda: NOW)
    patients = [look_back(view, ask(planted.cycle)).patients for ask in (failed_cycle, positive_indicator)]
    parts, counts = standing(view)["parts"], made.history.counts
    why = [word for state in held(view) for word in map(hold_words, state.held)]
    disconnect(made.path)
    assert patients == [planted.patients, planted.since_last_negative]
    assert len(planted.patients) > 1
    assert min(parts["in use"], parts["ready"], parts["held"], counts["exceptions"]) > 0
    assert why
    assert all(word.endswith("failed") for word in why)
    assert counts["events"] > 10_000
