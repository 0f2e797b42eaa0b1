"""The record of one airframe, priors by body plan, loading and performance."""
