"""Handing in from the start page: one press puts a learner's work into a file to give away."""

from html import escape

import ipywidgets

from kit.bay.stand_in import with_stand_in
from kit.errors import KitError
from kit.records import records_folder
from kit.records.handing_in import hand_in as put_together
from kit.records.places import DEFAULT_LEARNER


class HandIn(ipywidgets.VBox):
    """A button that puts the records of whoever signed in into one zip beside the page, and says where it is."""

    def __init__(self) -> None:
        self.button = ipywidgets.Button(description="Hand in")
        self.said = ipywidgets.HTML()  # unlike a label it breaks its lines on a narrow page
        self.button.on_click(self._handed)
        super().__init__([self.button, self.said])

    def _handed(self, _button: object) -> None:
        try:
            done = put_together(records_folder())
        except KitError as error:
            self.said.value = escape(f"Not yet: {error}", quote=False)
            return
        said = f"Your work lies in {done.path}, beside this page. Give that file to your instructor; you keep your own."
        if done.learner == DEFAULT_LEARNER:
            said += " It bears no name yet: sign in above, and tell your instructor."
        self.said.value = escape(said, quote=False)

    def _repr_mimebundle_(self, **kwargs: object) -> tuple[dict, dict]:
        words = "To hand in, press the button at the top of this page."
        return with_stand_in(super()._repr_mimebundle_(**kwargs), words)


def hand_in() -> HandIn:
    """A button to hand in with."""
    return HandIn()
