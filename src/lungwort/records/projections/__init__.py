"""What follows from the events and is kept beside them; it can be made anew to the same bytes."""
