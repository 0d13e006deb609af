"""Look-back: who was exposed, through which parts, back to the last good evidence, and what is still out."""
