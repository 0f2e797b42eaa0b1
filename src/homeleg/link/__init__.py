"""Will hold: transfer, listening and recording over the telemetry link."""
