"""Protocol: read as cards, edited as text with vetting beside it, compared, published, withdrawn, criteria adopted."""
