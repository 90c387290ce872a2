"""Sheets for the bench: drawn as scenes, printed from PDF."""
