"""The low-pressure side: what reaches the high-pressure pump, and what filter, line and lift take."""
