"""The part "A class". Open this file first: the door, then the seat or the board of the class that was chosen."""

from __future__ import annotations

import ipywidgets as widgets

from reader.page.parts import esc, said
from reader.wording import say
from ui.classroom.board import Board
from ui.classroom.door import Door, class_name
from ui.classroom.joining import Joining
from ui.classroom.seat import Seat
from ui.notice import Notice
from ui.second_press import SecondPress
from ui.shelf.keys import mark_of
from ui.shelf.packs import counter, look
from ui.shelf.trouble import ShelfError
from ui.shelves import OWN, Opened, Readings, Shelves
from ui.spoken import Spoken
from ui.watch import Watch


class Classroom:
    """One class at a time. Its seat or board is kept while the page is open, with all that is typed in it."""

    def __init__(self, shelves: Shelves, readings: Readings, spoken: Spoken) -> None:
        self._shelves, self._readings, self._spoken = shelves, readings, spoken
        self.here = ""  # the name of the class that is shown, "" at the door
        self._entered, self._in_trouble = False, False
        self.rooms: dict[str, Seat | Board] = {}
        self._watches: dict[str, Watch] = {}
        self.door = Door(shelves, self.come_in, self.go)
        self.notice = Notice()
        self.title, self.state = widgets.HTML(), widgets.HTML()
        self.back = widgets.Button(description=say("label_class_back"))
        self.leaving = SecondPress("class_leave", self._loss, self._forget, self.notice)
        self.again = Joining(shelves, self._joined_again)
        self._again = widgets.VBox([])  # holds it where the shelf was wiped while it was open
        self.room = widgets.VBox([])
        top = widgets.HBox([self.title, self.back, self.leaving.view]).add_class("boxes").add_class("class-top")
        self._inside = widgets.VBox([top, self.state, self._again, self.room])
        self._whole = widgets.VBox([self.notice.view, self.door.view, self._inside]).add_class("classroom")
        self.back.on_click(lambda _: self.go(""))
        shelves.keyring.when_known(self._known)

    def view(self) -> widgets.Widget:
        self._lay_out()
        return self._whole

    def enter(self) -> None:
        """Look at once, then watch."""
        self._entered = True
        self.look()
        self._watch()

    def leave(self) -> None:
        """Watch no more."""
        self._entered = False
        self._watch()

    # -- coming and going -----------------------------------------------------------------------------------

    def come_in(self, key: str) -> None:
        """Keep a key that opens a class, and show that class."""
        name = f"class-{mark_of(key)}"
        self._shelves.keyring.put(name, key)
        self.go(name)
        if self._shelves.keyring.lasting is not True:
            self.notice.tell(say("class_for_now"))

    def go(self, name: str) -> None:
        """Show a class by the name of its key, or the door ("")."""
        room = self.rooms.get(self.here)
        if isinstance(room, Board):
            room.put_key(False)
            room.files.forget()
        self.here = name
        self.leaving.close()
        self.notice.tell("")
        self._lay_out()
        self.look()
        self._watch()

    def _known(self) -> None:
        """The browser has said which keys it holds."""
        if self._entered:
            self.look()

    def _lay_out(self) -> None:
        at_door = not self.here
        self.door.view.layout.display = "" if at_door else "none"
        self._inside.layout.display = "none" if at_door else ""
        self._again.children = ()

    def _joined_again(self, key: str) -> None:
        assert key == self._shelves.keyring.keys[self.here]
        self.look()

    # -- looking --------------------------------------------------------------------------------------------

    def look(self) -> None:
        """Look at the class that is shown and put up what is there. Never raises; what is typed stays."""
        try:
            if self.here:
                self._look_inside()
            else:
                self.door.refresh([o for o in self._shelves.opened() if o.name != OWN])
        except ShelfError as error:
            self._trouble(error)
        else:
            if self._in_trouble:
                self._in_trouble = False
                self.notice.tell("")
                self._again.children = ()

    def _look_inside(self) -> None:
        key = self._shelves.keyring.keys[self.here]
        opened = Opened(self.here, key, look(self._shelves.file(), key))
        shelf = opened.shelf
        room = self.rooms.get(self.here)
        if room is None:
            room = (
                Board(self._shelves, key, self._readings, self.look)
                if shelf.keeper
                else Seat(self._shelves, key, self._spoken, self.look)
            )
            self.rooms[self.here] = room
        if self.room.children != (room.view,):
            self.room.children = (room.view,)
        title = f"<h2>{esc(class_name(shelf))}</h2>"
        if self.title.value != title:
            self.title.value = title
        state = _state(opened)
        if self.state.value != state:
            self.state.value = state
        room.refresh(opened)

    def _trouble(self, error: ShelfError) -> None:
        self._in_trouble = True
        if self.notice.text != str(error):
            self.notice.tell(str(error))
        if error.kind == "no_key" and isinstance(self.rooms.get(self.here), Seat):
            self.again.key = self._shelves.keyring.keys[self.here]
            self._again.children = (self.again.view,)

    def _count(self) -> int:
        return counter(self._shelves.file(), self._shelves.keyring.keys[self.here])

    def _watch(self) -> None:
        """Watch the class that is shown, and no other."""
        for name, watch in self._watches.items():
            if not (self._entered and name == self.here):
                watch.stop()
        room = self.rooms.get(self.here)
        if self._entered and room is not None:
            if self.here not in self._watches:
                self._watches[self.here] = Watch(self._count, self.look, room.every_s)
            self._watches[self.here].start()

    # -- leaving for good -----------------------------------------------------------------------------------

    def _loss(self) -> str:
        keeper = isinstance(self.rooms.get(self.here), Board)
        return say("class_leave_teacher" if keeper else "class_leave_student")

    def _forget(self) -> None:
        name = self.here
        self.go("")
        watch = self._watches.pop(name, None)
        if watch:
            watch.stop()
        self.rooms.pop(name, None)
        self._shelves.keyring.drop(name)
        self.look()


def _state(opened: Opened) -> str:
    shelf = opened.shelf
    sentences = []
    if not shelf.keeper:
        key = "class_you_are" if shelf.nickname else "class_you_are_nobody"
        sentences.append(said(key, nickname=shelf.nickname))
        if shelf.frozen:
            sentences.append(said("class_frozen"))
    return f'<p class="class-state">{" ".join(sentences)}</p>' if sentences else ""
