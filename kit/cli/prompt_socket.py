"""The way from kernel to page without waiting: small messages go out at once.

JupyterLab's server names this class where ``kit open`` starts it. Without it TCP may hold a small message back for some
40 ms, until the page has acknowledged the one before (Nagle's algorithm, RFC 896, meeting delayed acknowledgements,
RFC 1122 4.2.3.2); an act on the bay is two small messages close together.
"""

import asyncio

from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection


class PromptSocket(ZMQChannelsWebsocketConnection):
    """Jupyter's own connection between a page and its kernel, with TCP told to hold nothing back."""

    def connect(self) -> "asyncio.Future[None] | None":
        """Connect as ever, once the page's socket is set to send at once (Tornado, WebSocketHandler.set_nodelay)."""
        self.websocket_handler.set_nodelay(True)
        return super().connect()
