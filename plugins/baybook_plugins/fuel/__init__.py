"""The fuel itself: density, viscosity, what is seen and smelt, and what it does to other tests."""
