"""Voltage drop under current, insulation, supply and ground of a driver."""
