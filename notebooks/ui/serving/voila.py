"""How the app is served. From the repository root:

    .venv/bin/voila notebooks/label_reader.ipynb --Voila.config_file_paths=notebooks/ui/serving

Voila prescribes the name of this file; options given after the command win over it.
README.md in this folder says how to change the usual things.
"""

import importlib.util
import os
from pathlib import Path

HERE = Path(__file__).resolve().parent
NOTEBOOKS = HERE.parents[1]
ROOT = NOTEBOOKS.parent


def put_first(variable: str, *folders: Path) -> None:
    """Set folders in front of a search path that this process and its kernels share."""
    rest = os.environ.get(variable)
    os.environ[variable] = os.pathsep.join([*map(str, folders), *([rest] if rest else [])])


# The template stays in the repository: a fresh clone needs no install step to find it.
put_first("JUPYTER_PATH", HERE / "share")
# A kernel starts in notebooks/; `reader` lies one folder higher.
put_first("PYTHONPATH", ROOT)

# By path: importing through `ui` would load the app's widgets into the server.
_spec = importlib.util.spec_from_file_location("visitors", HERE / "visitors.py")
assert _spec is not None and _spec.loader is not None
visitors = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(visitors)

c = get_config()  # type: ignore[name-defined]  # noqa: F821  (given by the loader)

# --- Who can reach it -------------------------------------------------------------------
# Loopback by number: the name "localhost" is whatever the hosts file says.
c.Voila.ip = "127.0.0.1"
c.Voila.identity_provider_class = visitors.OneVisitorOneKernel
c.Voila.tornado_settings = {
    # Voila lets any Host header pass. Checking it keeps a page elsewhere from reaching this
    # server under a name of its own that it points at 127.0.0.1.
    "allow_remote_access": False,
    "local_hostnames": ["localhost"],
    # A file that is brought in comes as one message. By the stock 10 MiB a larger one would cut the page off without
    # a word; this carries 50 MB, more than any shelf holds.
    "websocket_max_message_size": 64 * 1024 * 1024,
    "headers": {
        # The browser itself refuses every other host, whatever a label or a library asks
        # for, and every script that is not a file of this server. Charts therefore need
        # `ast: true` among their embed options: they are computed without eval.
        "Content-Security-Policy": "; ".join(
            [
                "default-src 'self'",
                "script-src 'self'",
                "style-src 'self' 'unsafe-inline'",
                "img-src 'self' data: blob:",
                "font-src 'self' data:",
                "connect-src 'self'",
                "frame-src 'none'",
                "object-src 'none'",
                "base-uri 'none'",
                "form-action 'none'",
                "frame-ancestors 'none'",
            ]
        ),
        "Referrer-Policy": "no-referrer",
    },
}

# --- What is served ---------------------------------------------------------------------
# The notebook comes from the command line. Nothing beside it is a file to hand out.
c.VoilaConfiguration.file_allowlist = []
c.VoilaConfiguration.file_denylist = [".*"]
c.VoilaConfiguration.strip_sources = True
c.VoilaConfiguration.show_tracebacks = False
# On a busy machine the widgets of the first cell may take long to come; by the stock 4 s the page would stay empty.
c.VoilaExecutor.iopub_timeout = 300
c.VoilaExecutor.cell_error_instruction = "Please reload the page; the server's log says more."
# Only what draws our widgets; other extensions that live in the same venv stay out.
c.VoilaConfiguration.extension_allowlist = [
    "@voila-dashboards/widgets-manager8",
    "@jupyter-widgets/jupyterlab-manager",
]

# --- How it looks -----------------------------------------------------------------------
c.VoilaConfiguration.template = "label_reader"
# An address with ?template= or ?theme= must not bring the stock page back.
c.VoilaConfiguration.allow_template_override = "NO"
c.VoilaConfiguration.allow_theme_override = "NO"
# Read once, at start, and written into the page: no request, there at first paint. The reading's own sheet comes first,
# so that the app's rules win at equal weight.
STYLES = (
    ROOT / "reader" / "page" / "page.css",
    NOTEBOOKS / "ui" / "theme.css",
    NOTEBOOKS / "ui" / "lesson" / "lesson.css",
)
c.VoilaConfiguration.resources = {"app_css": "\n".join(s.read_text(encoding="utf-8") for s in STYLES if s.is_file())}

# --- Kernels ----------------------------------------------------------------------------
# Two wait with the first cell already run, so that a visitor gets the page at once.
c.VoilaConfiguration.preheat_kernel = True
c.VoilaConfiguration.default_pool_size = 2
# Kernels in the pool are exempt. A page that is open keeps its kernel; one that lost its
# page (closed tab, phone asleep) may come back for ten minutes.
c.MappingKernelManager.cull_idle_timeout = 600
c.MappingKernelManager.cull_interval = 60
c.MappingKernelManager.cull_connected = False
# A kernel that sends more than 1 MB in a second would have its next messages dropped, and a shelf saved or brought in
# is larger than that. No visitor runs code, so no output floods.
c.ZMQChannelsWebsocketConnection.limit_rate = False
# Errors after the first cell reach the page's socket too; without paths of this machine.
c.MappingKernelManager.allow_tracebacks = False
# Keeps what page and kernel say to each other out of reach of other accounts on the machine.
# "auto": a kernel that cannot do it still starts.
c.MappingKernelManager.transport_encryption = "auto"
