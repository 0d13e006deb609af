"""Cycles: loading, running, evidence as it is measured, the verdict in words, the curve, the certificate."""
