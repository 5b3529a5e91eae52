"""What is taken where an input is not given: the declaration and the chart of the card draw on the same."""

TIME = 30.0
"""s between two readings, usual."""
FUEL = "diesel"
TEMPERATURE = 40.0
"""°C of rail and fuel when the pump stopped."""
ZERO_UNCERTAINTY = 10.0
"""bar by which the sensor may be off at zero, 95 %."""
