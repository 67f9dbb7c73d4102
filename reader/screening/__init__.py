"""A catalogue held against a house specification: row by row, on any number of workers, always to the same end.

screening = screen(catalogue, specification, journal=Path("list.part"), workers=2)   # reader.screening.run
for placed, product in screening.by_standing(): ...
"""
