"""Told items and their expiry, and the reach an aircraft has earned."""
