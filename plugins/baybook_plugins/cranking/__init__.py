"""Cranking."""
