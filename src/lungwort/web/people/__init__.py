"""People: who may do what, who was trained for what, and what lapses soon."""
