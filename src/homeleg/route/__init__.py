"""Take-off, points, orbits and the end of a route; leg geometry and pattern."""
