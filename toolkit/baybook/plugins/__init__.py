"""Plugins: found by entry point, asked in a process of their own, remembered in an index, loaded only when one is used."""
