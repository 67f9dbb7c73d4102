"""The lesson `how_it_reads.ipynb`: how its cells show plain data, its exercises and the checks of their answers.

Text stands in the notebook, sentences of the checks in lexicon/wording/lesson.yaml; what is right the reader works out.
"""
