"""The app served to the phones of a class, in one network. From the repository root:

    .venv/bin/voila notebooks/label_reader.ipynb --Voila.config_file_paths=notebooks/ui/serving/classroom

Everything of ../voila.py holds, but for who can reach it. LABEL_HOST names the address to be reached at where the right
one is not found; LABEL_PORT another port. README.md in the folder above says what to know before.
"""

import os
import socket
from pathlib import Path

HERE = Path(__file__).resolve().parent


def own_address() -> str:
    """The address of this machine in its network. Nothing is sent: 192.0.2.1 is of those kept for documentation
    (RFC 5737), and connecting UDP only asks which way it would go.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))
        except OSError:
            return ""
        found: str = probe.getsockname()[0]
        return found


load_subconfig("voila.py", path=str(HERE.parent))  # type: ignore[name-defined]  # noqa: F821  (given by the loader)
c = get_config()  # type: ignore[name-defined]  # noqa: F821

HOST = os.environ.get("LABEL_HOST", "").strip() or own_address()
PORT = os.environ.get("LABEL_PORT", "").strip() or "8866"
if not HOST:
    raise SystemExit(
        "No address was found at which phones could reach this machine. Join the network of the class first, or name "
        "the address: LABEL_HOST=192.168.1.20."
    )
if not PORT.isdigit():
    raise SystemExit(f"LABEL_PORT is “{PORT}”, and a port is a number. Leave it out, or name one such as 8900.")

# One address, not all of the machine's. What the page is called is checked by visitors.py, since the check that is
# switched off here lets only this machine itself through.
c.Voila.ip = HOST
c.Voila.port = int(PORT)
c.Voila.tornado_settings["allow_remote_access"] = True
c.Voila.tornado_settings["allowed_hosts"] = frozenset({f"{HOST}:{PORT}"})
# The board shows it to the class; kernels inherit it.
os.environ["LABEL_ADDRESS"] = f"http://{HOST}:{PORT}/"

c.VoilaConfiguration.default_pool_size = 6
# A phone that sleeps while the teacher talks finds its page again for half an hour.
c.MappingKernelManager.cull_idle_timeout = 1800
