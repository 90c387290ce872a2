"""Text of notes to records: front matter, YAML with places, fields, references between notes.

In: SourceText. Out: records, and every problem found on the way. Never: reading files,
judging what a note says.
"""
