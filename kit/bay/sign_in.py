"""Signing in: the name a learner's work is kept under."""

import time
from html import escape
from pathlib import Path

import anywidget
import ipywidgets
import traitlets

from kit.bay.stand_in import with_stand_in
from kit.errors import RecordError
from kit.records import learner_name, records_folder, sign

HERE = Path(__file__).parent
READY = "Ready."


class Ready(anywidget.AnyWidget):
    """Says that the kernel is awake. Only a live kernel can show it, so a page that is not ready never says it is."""

    _esm = HERE / "ready.js"
    _css = HERE / "bay.css"

    words = traitlets.Unicode(READY).tag(sync=True)
    made = traitlets.Float().tag(sync=True)

    def __init__(self) -> None:
        super().__init__(made=time.time() * 1000)

    def _repr_mimebundle_(self, **kwargs: object) -> tuple[dict, dict]:
        words = "Not ready yet: press the button above, and once more if nothing comes of it."
        return with_stand_in(super()._repr_mimebundle_(**kwargs), words)


def ready() -> Ready:
    """Say that everything is ready; its appearing is the news."""
    return Ready()


class SignIn(ipywidgets.VBox):
    """A field for the name or number a class knows a learner by; lessons opened from then on keep work under it."""

    def __init__(self) -> None:
        self.name = ipywidgets.Text(
            value=learner_name(records_folder()), description="Name:", placeholder="like learner-07",
            layout={"max_width": "95%"},
        )
        self.button = ipywidgets.Button(description="Sign in")
        self.said = ipywidgets.HTML()  # unlike a label it breaks its lines on a narrow page
        self.button.on_click(self._signed)
        # Whoever types a name presses Enter; without this nothing would come of it, and thirty hand in as nobody.
        self.name.on_msg(self._entered)
        super().__init__([ipywidgets.HBox([self.name, self.button], layout={"flex_flow": "row wrap"}), self.said])

    def _entered(self, _field: object, content: dict, _buffers: object) -> None:
        if content.get("event") == "submit":
            self._signed(None)

    def _signed(self, _button: object) -> None:
        try:
            name = sign(self.name.value)
        except RecordError as error:
            said = str(error)[:1].upper() + str(error)[1:]
        else:
            said = f"Signed in as {name}. Lessons you open now keep your work under this name."
        self.said.value = escape(said, quote=False)

    def _repr_mimebundle_(self, **kwargs: object) -> tuple[dict, dict]:
        words = "To sign in, press the button at the top of this page."
        return with_stand_in(super()._repr_mimebundle_(**kwargs), words)


def sign_in() -> SignIn:
    """A field to sign in with."""
    return SignIn()
