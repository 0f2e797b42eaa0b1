"""The screens, one module each, with its routes."""
