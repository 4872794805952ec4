"""Run the trainer in a place without any network but the machine's own, and use it. Started by test_alone.

python -m tests.serving.alone FOLDER
"""

from __future__ import annotations

import fcntl
import socket
import struct
import sys
from pathlib import Path

from tests.faults.classroom import Running, fill
from tests.faults.killing import Trainee

SIOCGIFFLAGS, SIOCSIFFLAGS, IFF_UP = 0x8913, 0x8914, 1
PAGES = (
    "/",
    "/trainee/",
    "/trainee/drills",
    "/reference/words",
    "/record/",
    "/account/",
    "/verify",
    "/verify/page",
)


def switch_loopback_on() -> None:
    """A fresh place has a loopback that is off."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as line:
        asked = struct.pack("16sH14s", b"lo", 0, b"")
        flags = struct.unpack("16sH14s", fcntl.ioctl(line, SIOCGIFFLAGS, asked))[1]
        fcntl.ioctl(line, SIOCSIFFLAGS, struct.pack("16sH14s", b"lo", flags | IFF_UP, b""))


def outside_can_be_reached() -> bool:
    """Whether there is any way out: an address of the range for documents (RFC 5737) is tried."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as line:
        try:
            line.connect(("192.0.2.1", 9))
        except OSError:
            return False
    return True


def main() -> None:
    """Start, practise, look at pages; say what came of it."""
    switch_loopback_on()
    assert not outside_can_be_reached(), "there is a way out, so this proves nothing"
    instance = Path(sys.argv[1])
    one = Trainee(fill(instance, 1)[0])
    running = Running.start(instance)
    phone = running.phone(one.token)
    one.one(phone)
    strange = {path: status for path in PAGES if (status := phone.get(path).status) not in {200, 303}}
    phone.hang_up()
    running.stop()
    assert (len(one.acknowledged), strange) == (1, {})
    print("all in order")


if __name__ == "__main__":
    main()
