from lungwort.demo.history.ledger import FREED, Ledger, exposed, since_last_negative


def ledger_of(*told):
    """Return a ledger of cycles ("Y-1", outcome, parts) and uses (patient, parts), in order."""
    ledger = Ledger()
    for entry in told:
        if len(entry) == 3:
            cycle, outcome, parts = entry
            ledger.treat(cycle, parts, "E-1")
            ledger.outcomes[cycle] = outcome
        else:
            patient, parts = entry
            ledger.use(parts, patient)
    return ledger


def test_the_exposed_met_a_part_before_its_next_proved_cycle():
    """Who came before the doubted cycle or after the next good one is not among them."""
    ledger = ledger_of(
        ("R-0", ["P-1"]),
        ("Y-1", "failed", ["P-1", "P-2"]),
        ("R-2", ["P-2"]),
        ("R-1", ["P-1"]),
        ("Y-2", "passed", ["P-1"]),
        ("R-3", ["P-1", "P-9"]),
    )
    assert exposed(ledger, ["Y-1"]) == ("R-1", "R-2")


def test_an_unproved_cycle_between_ends_no_doubt():
    """A part released by exception after a cycle that was not shown carries the doubt on."""
    ledger = ledger_of(
        ("Y-1", "failed", ["P-1"]),
        ("Y-2", "not shown", ["P-1"]),
        ("R-1", ["P-1"]),
        ("Y-3", "passed", ["P-1"]),
    )
    assert exposed(ledger, ["Y-1"]) == ("R-1",)


def test_a_passed_cycle_that_is_doubted_too_ends_no_doubt():
    """Looking back over several cycles of one autoclave, none of them clears another."""
    ledger = ledger_of(
        ("Y-1", "passed", ["P-1"]), ("Y-2", "passed", ["P-1"]), ("R-1", ["P-1"]), ("Y-3", "passed", ["P-1"])
    )
    assert exposed(ledger, ["Y-1"]) == ()
    assert exposed(ledger, ["Y-1", "Y-2"]) == ("R-1",)


def test_doubt_reaches_from_the_last_negative_indicator_to_the_next_good_sign():
    """The cycles with negative indicators are not among the doubted, nor what ran after the autoclave was freed."""
    ledger = ledger_of(*((f"Y-{n}", "passed", ["P-1"]) for n in range(1, 7)))
    ledger.indicators |= {"Y-1": "negative", "Y-2": "negative", "Y-4": "positive", "Y-6": "negative"}
    assert since_last_negative(ledger, "E-1", "Y-4") == ("Y-3", "Y-4", "Y-5")
    ledger.runs["E-1"].insert(4, FREED)
    assert since_last_negative(ledger, "E-1", "Y-4") == ("Y-3", "Y-4")


def test_without_any_negative_indicator_doubt_reaches_to_the_last_passed_cycle():
    """As the look-back does: the last passed cycle before takes the place of the indicator."""
    ledger = ledger_of(("Y-1", "passed", ["P-1"]), ("Y-2", "failed", ["P-1"]), ("Y-3", "passed", ["P-1"]))
    assert since_last_negative(ledger, "E-1", "Y-3") == ("Y-2", "Y-3")
