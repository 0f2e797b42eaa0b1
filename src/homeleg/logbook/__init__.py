"""The logbook: what was flown, found and done, in a file that keeps every word of it."""
