"""Signing in: the name a learner's work is kept under."""

import ipywidgets

from kit.errors import RecordError
from kit.records import learner_name, records_folder, sign

READY = "Ready. Choose a lesson below."


class Ready:
    """Says on the start page that the kernel is awake."""

    def __repr__(self) -> str:
        return READY

    def _repr_html_(self) -> str:
        return f'<p style="font-size:16px;font-weight:600;margin:8px 0">✓ {READY}</p>'


def ready() -> Ready:
    """Say that everything is ready; its appearing is the news."""
    return Ready()


class SignIn(ipywidgets.VBox):
    """A field for the name or number a class knows a learner by; lessons opened from then on keep their work under it."""

    def __init__(self) -> None:
        self.name = ipywidgets.Text(
            value=learner_name(records_folder()), description="Name:", placeholder="like learner-07"
        )
        self.button = ipywidgets.Button(description="Sign in")
        self.said = ipywidgets.Label()
        self.button.on_click(self._signed)
        super().__init__([ipywidgets.HBox([self.name, self.button]), self.said])

    def _signed(self, _button: object) -> None:
        try:
            name = sign(self.name.value)
        except RecordError as error:
            self.said.value = str(error)
        else:
            self.said.value = f"Signed in as {name}. Lessons you open now keep your work under this name."

    def _repr_mimebundle_(self, **kwargs: object) -> dict[str, object]:
        bundle = super()._repr_mimebundle_(**kwargs) or {}
        return {**bundle, "text/plain": "To sign in, press the button at the top of this page."}


def sign_in() -> SignIn:
    """A field to sign in with."""
    return SignIn()
