"""The proof of the make-up estimate: recipes are invented, turned into labels, read back and compared with the truth.

`families` says what is made, `recipes` draws one with its composition and gives the truth, `panels` and `labels` print
it, `measure` reads labels and compares, `faults` prints wrong ones. `python -m tests.estimate` prints every table.
"""
