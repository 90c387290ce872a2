"""Pixels to sizes and positions: arrays in, arrays and frozen results out."""
