"""Things: lists of them, what each is now and its whole story, its label, and what is ordered of it."""
