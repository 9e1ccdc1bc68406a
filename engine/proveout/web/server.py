"""The server itself: where it listens, how long a connection may take, how it begins and ends."""

from __future__ import annotations

import asyncio
import ipaddress
import logging
import secrets
import socket
import ssl
from collections.abc import Callable
from pathlib import Path

import h11
import uvicorn
from msgspec import Struct
from uvicorn.protocols.http.h11_impl import H11Protocol

from proveout.model.problem import WrongUsageError
from proveout.web.application import application
from proveout.web.desk import Desk
from proveout.web.door import ENTER, keys_for

#: Seconds after which a connection is ended between two requests, and after which it is broken off.
ENDED_AFTER, BROKEN_OFF_AFTER = 20.0, 60.0
_MOST_CONNECTIONS, _MOST_HEADER_BYTES = 256, 16 * 1024


class Where(Struct, frozen=True):
    """Where a server listens and how it is called.

    Attributes:
        host: an address of this machine.
        port: 0 for any that is free.
        name: by which it may be called besides, or "".
        certificate, private_key: files for TLS, or None.
    """

    host: str = "127.0.0.1"
    port: int = 8460
    name: str = ""
    certificate: Path | None = None
    private_key: Path | None = None

    @property
    def is_open(self) -> bool:
        """Whether other machines can reach it."""
        return not ipaddress.ip_address(self.host).is_loopback


class BoundedProtocol(H11Protocol):
    """A connection that ends in time, however slowly it sends or takes what is sent."""

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Begin, and set when it ends."""
        super().connection_made(transport)
        self._ends = (
            self.loop.call_later(ENDED_AFTER, self.shutdown),
            self.loop.call_later(BROKEN_OFF_AFTER, transport.abort),
        )

    def data_received(self, data: bytes) -> None:
        """Take what came; what is no HTTP, so that no answer fits any more, ends the connection."""
        try:
            super().data_received(data)
        except (h11.ProtocolError, UnicodeError):
            self.transport.abort()

    def connection_lost(self, exc: Exception | None) -> None:
        """End."""
        for timer in self._ends:
            timer.cancel()
        super().connection_lost(exc)


class _Lines(logging.Handler):
    """Tells what the libraries report in one line each, without a traceback."""

    def __init__(self, tell: Callable[[str], None]) -> None:
        super().__init__(logging.ERROR)
        self._tell = tell

    def emit(self, record: logging.LogRecord) -> None:
        """Tell a report."""
        error = record.exc_info[1] if record.exc_info else None
        if isinstance(error, h11.ProtocolError):  # the other end's fault, and answered as such
            return
        why = f" ({type(error).__name__}: {error})" if error else ""
        self._tell(f"{record.getMessage().splitlines()[0][:200]}{why}")


def checked(where: Where) -> Where:
    """Return where to listen, if that is one address of this machine, and what TLS takes is there.

    Raises:
        WrongUsageError: it is a name, or stands for every address, or certificate and key do not serve.
    """
    try:
        address = ipaddress.ip_address(where.host)
    except ValueError:
        raise WrongUsageError(
            f"{where.host} is no address; give the one of this machine in your network, such as 192.0.2.7."
        ) from None
    if address.is_unspecified or address.is_multicast:
        raise WrongUsageError(
            f"{where.host} stands for more than one address; give the one of this machine in your network."
        )
    if (where.certificate is None) != (where.private_key is None):
        raise WrongUsageError("--certificate and --private-key go together.")
    if where.certificate is not None and where.private_key is not None:
        _try_keys(where.certificate, where.private_key)
    return where


def _try_keys(certificate: Path, private_key: Path) -> None:
    """Refuse what cannot serve for TLS before anything is begun; a key under a password is none."""

    def password() -> str:
        raise WrongUsageError(f"{private_key} asks for a password; give a key without one.")

    try:
        ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(certificate, private_key, password)
    except OSError as error:
        why = error.strerror if not isinstance(error, ssl.SSLError) else error.reason or "not PEM"
        raise WrongUsageError(
            f"{certificate} and {private_key} are no PEM certificate with its key ({why})."
        ) from None


def listening(where: Where) -> socket.socket:
    """Return a socket that listens.

    Raises:
        WrongUsageError: the address is not of this machine, or the port is taken.
    """
    family = socket.AF_INET6 if ":" in where.host else socket.AF_INET
    found = socket.socket(family, socket.SOCK_STREAM)
    found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        found.bind((where.host, where.port))
        found.listen(_MOST_CONNECTIONS)
    except OSError as error:
        found.close()
        raise WrongUsageError(
            f"Cannot listen at {where.host}, port {where.port}: {error.strerror}. Take another --port."
        ) from None
    return found


def serve(desk: Desk, where: Where, began: Callable[[str], None], tell: Callable[[str], None]) -> None:
    """Serve until it is stopped from the keyboard.

    Args:
        desk: does the work; its book is open.
        where: to listen.
        began: takes the address by which it is entered, which holds the token.
        tell: takes lines for whoever runs it.

    Raises:
        WrongUsageError: it cannot listen there.
    """
    listener = listening(checked(where))
    port = int(listener.getsockname()[1])
    host = f"[{where.host}]" if ":" in where.host else where.host
    names = [host, *([where.name.lower()] if where.name else []), *([] if where.is_open else ["localhost"])]
    secure = where.certificate is not None
    keys = keys_for(names, port, secrets.token_urlsafe(24), secure=secure)
    for name in ("asyncio", "uvicorn.error"):
        logging.getLogger(name).handlers = [_Lines(tell)]
    server = uvicorn.Server(_config(application(desk, keys, tell), where))
    began(f"{'https' if secure else 'http'}://{where.name or host}:{port}{ENTER}{keys.token}")
    try:
        server.run(sockets=[listener])
    finally:
        listener.close()
        desk.shut()


def _config(app: object, where: Where) -> uvicorn.Config:
    return uvicorn.Config(
        app,  # type: ignore[arg-type]
        http=BoundedProtocol,
        ws="none",
        lifespan="off",
        loop="asyncio",
        interface="asgi3",
        log_config=None,
        log_level="error",
        access_log=False,
        server_header=False,
        proxy_headers=False,
        limit_concurrency=_MOST_CONNECTIONS,
        timeout_keep_alive=10,
        timeout_graceful_shutdown=5,
        h11_max_incomplete_event_size=_MOST_HEADER_BYTES,
        ssl_certfile=where.certificate,
        ssl_keyfile=where.private_key,
    )
