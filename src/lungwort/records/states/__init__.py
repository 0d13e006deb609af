"""States: what every thing is now, folded from the facts about it alone; they can be rebuilt to the same bytes."""
