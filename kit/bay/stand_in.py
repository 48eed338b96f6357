"""What stands in for a widget where no kernel is: a sentence, and the drawing where there is one."""

import html

from kit.draw import Picture


def with_stand_in(bundle: object, words: str, picture: Picture | None = None) -> tuple[dict, dict]:
    """A widget's mime bundle, with words (and a picture) for pages without a kernel."""
    data, metadata = bundle if isinstance(bundle, tuple) else (bundle or {}, {})
    said = f"<p>{html.escape(words)}</p>" + ("" if picture is None else picture.image())
    return {**data, "text/html": said, "text/plain": words}, metadata
