"""Refuses every connection and name look-up that leaves this machine, and writes each down in a file.

The hook raises, so the attempt fails; the file remembers, so a library that swallows the error is found too.
Child processes load the same hook through `sitecustomize.py` beside this file.
"""

import ipaddress
import os
import sys
from pathlib import Path

LOG = "TANKWARD_GUARD_LOG"
NAMES = {"", "localhost", "localhost.localdomain", "ip6-localhost", "tank.test"}
HOST_FIRST = {"socket.getaddrinfo", "socket.gethostbyname", "socket.gethostbyaddr"}
ADDRESS_SECOND = {"socket.connect", "socket.sendto", "socket.sendmsg"}


class LeftTheMachine(OSError):
    """Something tried to reach another machine, or to ask for its address."""


def stays_here(host: object) -> bool:
    """Whether a host, as sockets take it, is this machine."""
    if host is None:
        return True
    name = host.decode("ascii", "replace") if isinstance(host, bytes) else str(host)
    if name.lower() in NAMES:
        return True
    try:
        address = ipaddress.ip_address(name.partition("%")[0])
    except ValueError:
        return False
    return address.is_loopback or address.is_unspecified


def host_of(event: str, args: tuple) -> object:
    """The host an audited socket call is about; None where no other machine can be meant."""
    if event in HOST_FIRST:
        return args[0]
    address = args[1]
    return address[0] if isinstance(address, tuple) else None


def write_down(what: str) -> None:
    """Keep an attempt for whoever watches the whole run."""
    if log := os.environ.get(LOG):
        with Path(log).open("a", encoding="utf-8") as lines:
            lines.write(what + "\n")


def watch(event: str, args: tuple) -> None:
    """The audit hook."""
    if event not in HOST_FIRST and event not in ADDRESS_SECOND:
        return
    host = host_of(event, args)
    if not stays_here(host):
        attempt = f"{event} {host!r}"
        write_down(attempt)
        raise LeftTheMachine(f"{attempt}: nothing here may leave this machine")


def start(log: Path | None = None) -> None:
    """Watch this process; with a log, every Python it starts as well."""
    if log is not None:
        here = str(Path(__file__).parent)
        os.environ[LOG] = str(log)
        os.environ["PYTHONPATH"] = os.pathsep.join(filter(None, [here, os.environ.get("PYTHONPATH")]))
    sys.addaudithook(watch)


def attempts() -> list[str]:
    """What was tried since the last call, by this process, its children and its pages."""
    if LOG not in os.environ:
        return []
    log = Path(os.environ[LOG])
    found = log.read_text(encoding="utf-8").splitlines() if log.exists() else []
    log.unlink(missing_ok=True)
    return found
