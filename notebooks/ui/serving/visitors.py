"""Ties each kernel to the first browser that joins it."""

import re
from typing import Any

from jupyter_core.utils import ensure_async
from jupyter_server.auth.identity import PasswordIdentityProvider
from tornado.web import HTTPError, RequestHandler

# Every address that names a kernel: its model, its socket, the shutdown call.
KERNEL_IN_PATH = re.compile(r"/(?:kernels|shutdown)/([\w-]+)")


class OneVisitorOneKernel(PasswordIdentityProvider):
    """Refuses a kernel to everybody but the visitor it was given to.

    Without this, the id that stands in the page (and in the server's log) is enough to join
    a stranger's kernel or to end it. Visitors need no password: the server gives each
    browser a signed cookie with a random name.
    """

    def __init__(self, **options: Any) -> None:
        super().__init__(**options)
        self.visitor_of: dict[str, str] = {}

    async def get_user(self, handler: RequestHandler) -> Any:
        """Say who asks; nobody (None, answered by 403) if the kernel is another visitor's. Where the setting
        `allowed_hosts` names how the page is called, who calls it otherwise gets 403 too: a page elsewhere must not
        reach this server under a name of its own that it points here.
        """
        hosts = handler.settings.get("allowed_hosts")
        if hosts is not None and handler.request.host not in hosts:
            handler.current_user = None  # the page that tells of the error asks for it
            raise HTTPError(403, "The page is not known by this name.")
        user = await ensure_async(super().get_user(handler))
        if handler.request.path == handler.settings["base_url"]:
            # Asking for the token puts it in a cookie. Without it Voila's own call that ends
            # the kernel of a closed page is refused, and the kernel stays until it is culled.
            handler.current_user = user  # the token asks for it
            _ = handler.xsrf_token
        named = KERNEL_IN_PATH.search(handler.request.path)
        kernels = handler.settings["kernel_manager"]
        if user is None or named is None or named[1] not in kernels:
            return user
        kernel = named[1]
        if kernel not in self.visitor_of and handler.request.method == "GET":
            # Forget the kernels that have ended, or the table would grow for ever.
            self.visitor_of = {k: v for k, v in self.visitor_of.items() if k in kernels}
            self.visitor_of[kernel] = user.username
        return user if self.visitor_of.get(kernel) == user.username else None
