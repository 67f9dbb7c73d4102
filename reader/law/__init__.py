"""What the law says about what is printed: rules as data, a judge for each kind of rule, findings with their grounds.

`rules`, `classes` and `setting` are read before the make-up is estimated (some rules are taken for granted there).
`case` is all a judge may look at; `terms`, `words`, `front_words`, `claimed`, `printed_panel`, `declared_meat` and
`limits` hold what several judges need. Each other module holds the judges of one topic and knows no other judge;
`findings` is the door to them. Nothing here holds a number of any law: those stand in lexicon/standards/.
"""
