"""What the law says about what is printed: rules as data, a judge for each kind of rule, findings with their grounds.

`rules` and `classes` are read before the make-up is estimated (some rules are taken for granted there); `findings` is
the door to the judges. Nothing here holds a number of any law: those stand in lexicon/standards/.
"""
