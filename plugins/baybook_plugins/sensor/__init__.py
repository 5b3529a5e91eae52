"""Rail pressure sensor."""
