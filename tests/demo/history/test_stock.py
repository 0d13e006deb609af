from random import Random

from lungwort.demo.history.stock import Stock


def stocked():
    """Return a shelf with two circuits and a trap."""
    stock = Stock(kinds={"P-1": "circuit", "P-2": "circuit", "P-3": "trap"})
    stock.shelve(["P-1", "P-2", "P-3"])
    return stock


def test_what_is_taken_is_no_longer_there():
    """One of each kind, and then that kind is missing where it was the last."""
    stock = stocked()
    taken = stock.take(["circuit", "trap"], Random(1))
    assert [stock.kinds[code] for code in taken] == ["circuit", "trap"]
    assert stock.missing(["circuit", "trap", "valve"]) == ["trap", "valve"]


def test_what_lies_elsewhere_is_not_unshelved():
    """Only what is on the shelf is returned, and then it is gone from there."""
    stock = stocked()
    stock.take(["trap"], Random(1))
    assert stock.unshelve(["P-1", "P-3"]) == ["P-1"]
    assert stock.unshelve(["P-1"]) == []


def test_the_basket_is_emptied_by_kind():
    """What came first comes first; the other kinds stay."""
    stock = stocked()
    stock.soil(["P-2", "P-3", "P-1"])
    assert stock.empty_basket(["circuit"]) == ["P-2", "P-1"]
    assert stock.empty_basket(["circuit", "trap"]) == ["P-3"]
