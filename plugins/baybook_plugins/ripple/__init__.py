"""Orders of the pump in rail pressure."""
