"""The drawings, one module each: a small frozen spec in, a Scene out.

In: spec classes defined beside each drawing. Out: scene.Scene. Never: SVG text, files, notes.
"""
