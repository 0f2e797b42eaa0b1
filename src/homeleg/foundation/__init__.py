"""Constants, units, stated heights, estimates and the error tree."""
