"""Results turned into what people look at: drawings, tables, pages.

In: results of workings/, or the small spec classes that each drawing defines. Out: Scene, str, bytes.
Never: computing a figure of the trade, reading or writing files.
"""
