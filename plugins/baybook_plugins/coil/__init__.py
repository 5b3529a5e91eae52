"""Solenoid coils."""
