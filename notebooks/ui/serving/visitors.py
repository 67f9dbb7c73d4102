"""Ties each kernel to the first browser that joins it."""

import re
from typing import Any

from jupyter_core.utils import ensure_async
from jupyter_server.auth.identity import PasswordIdentityProvider
from tornado.web import HTTPError, RequestHandler

# Every address that names a kernel: the REST model, the socket, the shutdown call.
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
        user = await ensure_async(super().get_user(handler))
        named = KERNEL_IN_PATH.search(handler.request.path)
        kernels = handler.settings["kernel_manager"]
        if user is None or named is None or named[1] not in kernels:
            return user
        if named[1] not in self.visitor_of:
            # Forget the kernels that have ended, or the table would grow for ever.
            self.visitor_of = {k: v for k, v in self.visitor_of.items() if k in kernels}
            self.visitor_of[named[1]] = user.username
        if self.visitor_of[named[1]] != user.username:
            raise HTTPError(403)
        return user
