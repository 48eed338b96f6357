"""What JupyterLab looks like around a lesson: nothing beside it at first, and printed words in one piece."""

import json
from pathlib import Path

from jupyterlab_server.workspaces_handler import WORKSPACE_EXTENSION, WorkspacesManager

NAME = "default"
# JupyterLab's own words for a layout; what is not named here it adds as usual. In a narrow window, on a phone, its list
# of files leaves a lesson the width of a thumb, and the button that starts it is off the page.
LAYOUT = {"left": {"collapsed": True, "visible": True}, "right": {"collapsed": True, "visible": False}}
# JupyterLab breaks printed lines anywhere, in the middle of a word or a figure as well.
STYLE = "body .jp-OutputArea-output pre { word-break: normal; overflow-wrap: anywhere; }\n"


def dress(config: Path) -> None:
    """Write the style JupyterLab is told to add to its own."""
    style = config / "custom" / "custom.css"
    style.parent.mkdir(exist_ok=True)
    style.write_text(STYLE, encoding="utf-8")


def lay_out(workspaces: Path) -> None:
    """Keep the list of files folded behind its button, unless JupyterLab has kept a layout of the learner's own."""
    if not any(workspaces.glob(f"*{WORKSPACE_EXTENSION}")):
        workspace = {"data": {"layout-restorer:data": LAYOUT}, "metadata": {"id": NAME}}
        WorkspacesManager(str(workspaces)).save(NAME, json.dumps(workspace))
