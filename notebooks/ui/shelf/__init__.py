"""Where packs are kept: a visitor's own shelf, and the shelf of a class. No widget here.

    file = open_file()                       # ui.shelf.file: checked, made or migrated
    key = new_key()                          # ui.shelf.keys: kept by the visitor, opens one shelf
    open_own(file, key, now())               # ui.shelf.classes; or open_class, or join
    add(file, key, new_id(), Texts(statement="Pork, water, salt"), now())  # ui.shelf.packs
    look(file, key).packs                    # ui.shelf.packs

Every function takes the open file, then the visitor's key; a key sees one shelf and no other. A write takes an id made
by the writer: repeated with the same id it does nothing, so a writer who does not know whether it went through repeats
it. What a visitor has to be told is raised as `trouble.ShelfError`; a wrong call raises ValueError.
"""
