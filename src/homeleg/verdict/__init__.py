"""Rows, questions, the word and its reasons."""
