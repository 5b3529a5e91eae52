"""Actual against target pressure."""
