from datetime import UTC, datetime, timedelta

from lungwort.demo.history.agenda import Agenda, minutes

BEGAN = datetime(2026, 3, 2, 6, tzinfo=UTC)


def test_processes_go_on_in_the_order_of_their_times():
    """Each acts, waits, acts again; two at one time act in the order in which they were begun."""
    agenda, seen = Agenda(BEGAN, BEGAN), []

    def ticks(name, apart):
        while True:
            yield minutes(apart)
            seen.append((name, (agenda.now - BEGAN) // minutes(1)))

    agenda.begin(ticks("slow", 20))
    agenda.begin(ticks("fast", 10))
    agenda.run_until(BEGAN + minutes(40))
    assert seen == [("fast", 10), ("slow", 20), ("fast", 20), ("fast", 30), ("slow", 40), ("fast", 40)]


def test_nothing_acts_after_the_moment_up_to_which_it_runs():
    """What is due later waits for the next run, and the clock stands at the moment."""
    agenda, seen = Agenda(BEGAN, BEGAN), []

    def once():
        yield minutes(61)
        seen.append(agenda.now)

    agenda.begin(once())
    agenda.run_until(BEGAN + minutes(60))
    assert (seen, agenda.now) == ([], BEGAN + minutes(60))
    agenda.run_until(BEGAN + minutes(62))
    assert seen == [BEGAN + minutes(61)]


def test_every_look_at_the_clock_takes_a_moment():
    """Two recordings never have the same time."""
    agenda = Agenda(BEGAN, BEGAN)
    assert agenda.clock() < agenda.clock()


def test_until_an_hour_is_today_or_tomorrow_and_never_now():
    """At 6 it is 1.5 h to 7:30, 23 h to 5, and a whole day to 6."""
    agenda = Agenda(BEGAN, BEGAN)
    waits = [agenda.until(hour) for hour in (7.5, 5, 6)]
    assert waits == [timedelta(hours=1.5), timedelta(hours=23), timedelta(days=1)]


def test_a_process_that_acts_late_pushes_nothing_back_in_time():
    """Where one takes longer than another waits, the other acts after it, at the later time."""
    agenda, seen = Agenda(BEGAN, BEGAN), []

    def long_one():
        yield minutes(1)
        for _n in range(100):
            agenda.clock()

    def short_one():
        yield minutes(2)
        seen.append(agenda.now)

    agenda.begin(long_one())
    agenda.begin(short_one())
    agenda.run_until(BEGAN + minutes(5))
    assert seen == [BEGAN + minutes(1) + timedelta(seconds=200)]
