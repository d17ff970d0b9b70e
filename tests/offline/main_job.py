"""The main job on a machine that has nothing but its loopback: write a note, see it read, save it.

Run by tests/test_network.py in a network namespace, with a folder; prints what the browser asked for.
"""

import fcntl
import json
import socket
import struct
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from lab_driver import begin, chromium_page, running_lab
from playwright.sync_api import expect

from redolent.journal import Journal

# <linux/sockios.h> and <linux/if.h>.
SIOCGIFFLAGS, SIOCSIFFLAGS, IFF_UP = 0x8913, 0x8914, 1


def raise_loopback() -> None:
    """Do what `ip link set lo up` does; a new network namespace has its loopback down."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as control:
        request = fcntl.ioctl(control, SIOCGIFFLAGS, struct.pack("16sh14x", b"lo", 0))
        flags = struct.unpack("16sh14x", request)[1]
        fcntl.ioctl(control, SIOCSIFFLAGS, struct.pack("16sh14x", b"lo", flags | IFF_UP))


def interfaces() -> list[str]:
    """List the network interfaces that there are."""
    return [line.partition(":")[0].strip() for line in Path("/proc/net/dev").read_text().splitlines()[2:]]


def main(folder: Path) -> None:
    """Write a note in the browser, and check that it is on the disk."""
    raise_loopback()
    journal_path, asked = folder / "journal" / "journal.db", []
    with (
        running_lab(folder / "home", env={"REDOLENT_JOURNAL": str(journal_path)}) as url,
        chromium_page(url, asked=asked) as page,
    ):
        begin(page)
        page.get_by_placeholder("your name").fill("Ilse Varga")
        page.get_by_placeholder("its name, or the code of the cup").fill("Harvest Lot 3")
        page.locator(".rd-area").press_sequentially("a hint of lemon")
        expect(page.locator(".rd-read li")).to_have_count(1)
        page.get_by_role("button", name="Save the note").click()
        expect(page.get_by_role("status").filter(has_text="Saved at")).to_be_visible(timeout=15_000)
    with Journal.open(journal_path) as journal:
        notes = [note.text for note in journal.notes()]
    print(json.dumps({"interfaces": interfaces(), "asked": asked, "notes": notes}))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
