"""Look-back: from a failed cycle, a wrong batch, a defect or an infection to everybody who was exposed."""
