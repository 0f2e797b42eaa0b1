"""The simulated flight: kernel, guidance, battery in flight, ensemble."""
