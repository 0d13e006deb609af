"""The rules of vetting; each file holds rules of one subject and is found by itself."""
