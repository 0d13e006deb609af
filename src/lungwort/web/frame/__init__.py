"""What every page has: its frame, its style, who is signed in, and how errors are answered."""
