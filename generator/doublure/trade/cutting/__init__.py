"""Cutting pieces from sheets."""
