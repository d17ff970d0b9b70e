"""On the path of every Python of the main job: list each address that it listens at, connects to or looks up."""

import os
import sys

_LOG = os.environ.get("OFFLINE_ADDRESSES")


def _listen(event: str, arguments: tuple[object, ...]) -> None:
    if event in ("socket.bind", "socket.connect", "socket.sendto"):
        address = arguments[1]
    elif event in ("socket.getaddrinfo", "socket.gethostbyname"):
        address = arguments[0]
    else:
        return
    # A name in the file system stays on the machine.
    if not isinstance(address, str | bytes) or event.startswith("socket.get"):
        with open(str(_LOG), "a", encoding="utf-8") as log:
            log.write(f"{address[0] if isinstance(address, tuple) else address}\n")


if _LOG:
    sys.addaudithook(_listen)
