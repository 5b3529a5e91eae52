"""Current of a driven coil."""
