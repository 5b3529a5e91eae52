"""Pressure control by inlet and outlet valve."""
