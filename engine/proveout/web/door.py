"""Who gets in: by which name the server was called, from which page, with which token, how often, how."""

from __future__ import annotations

import secrets
from collections.abc import Iterable, Mapping
from http import HTTPStatus

from msgspec import Struct
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from proveout.web.rate import Rates

#: What a browser is told with every answer. No script, style or picture comes from elsewhere or stands in a
#: page; nothing may frame it; forms go nowhere else.
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    # With "no-referrer" a form would not say from which page it was sent.
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), geolocation=(), microphone=()",
    "cache-control": "no-store",
}
#: Where the token is shown, and what anybody may have: the looks of the pages, and how they work.
ENTER = "/enter/"
_PUBLIC = ("/static/", "/manifest.webmanifest", "/worker.js", "/offline", "/favicon.ico")
_SAFE, _METHODS = frozenset({"GET", "HEAD"}), frozenset({"GET", "HEAD", "POST"})


class Refusal(Struct, frozen=True):
    """A request that is refused: its status and, for whoever sits before it, what to do."""

    status: int
    said: str


class Keys(Struct, frozen=True):
    """What opens the door.

    Attributes:
        token: the secret that the printed address holds.
        hosts: names and ports by which the server may be called, as browsers send them.
        origins: of the pages that may send something.
        cookie: name under which a browser keeps the token.
        secure: whether it goes over TLS only.
    """

    token: str
    hosts: frozenset[str]
    origins: frozenset[str]
    cookie: str
    secure: bool = False

    def fit(self, given: str) -> bool:
        """Say whether a token is the right one, in a time that tells nothing of it."""
        return secrets.compare_digest(given.encode(), self.token.encode())

    def kept(self) -> str:
        """Return the header by which a browser keeps the token; no script and no other site gets at it."""
        secure = "; Secure" if self.secure else ""
        return f"{self.cookie}={self.token}; Path=/; HttpOnly; SameSite=Strict; Max-Age=604800{secure}"


def keys_for(names: Iterable[str], port: int, token: str, *, secure: bool = False) -> Keys:
    """Return the keys of a server that listens at a port and is called by some names."""
    scheme, usual = ("https", 443) if secure else ("http", 80)
    hosts = frozenset(
        host for name in names for host in (f"{name}:{port}", *((name,) if port == usual else ()))
    )
    origins = frozenset(f"{scheme}://{host}" for host in hosts)
    return Keys(token, hosts, origins, f"proveout-{port}", secure)


class Door:
    """Stands before the application and lets in what may come in."""

    def __init__(self, app: ASGIApp, keys: Keys) -> None:
        """Take what is behind the door, and what opens it."""
        self._app = app
        self._keys = keys
        self._rates = Rates(burst=240, each_second=40)
        self._strangers = Rates(burst=30, each_second=1)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request in, or answer it here."""
        if scope["type"] != "http":
            return
        refusal = self._refusal(scope)
        if refusal is None:
            await self._app(scope, receive, _with_headers(send))
        else:
            await _refuse(refusal, _with_headers(send))

    def _refusal(self, scope: Scope) -> Refusal | None:
        headers = {name.decode("latin-1"): value.decode("latin-1") for name, value in scope["headers"]}
        path, method = str(scope["path"]), str(scope["method"])
        if method not in _METHODS:
            return Refusal(HTTPStatus.METHOD_NOT_ALLOWED, "Only GET, HEAD and POST are answered here.")
        if headers.get("host", "").lower() not in self._keys.hosts:
            return Refusal(HTTPStatus.MISDIRECTED_REQUEST, "Open the address that proveout serve printed.")
        refusal = self._from_elsewhere(method, headers)
        if refusal is not None:
            return refusal
        who = str((scope.get("client") or ("",))[0])
        known = self._keys.fit(_cookie(headers.get("cookie", ""), self._keys.cookie))
        if not (self._rates if known else self._strangers).take(who) and not _is_public(path):
            return Refusal(HTTPStatus.TOO_MANY_REQUESTS, "Too much at once. Wait a moment, then try again.")
        if known or _is_public(path) or (path.startswith(ENTER) and method in _SAFE):
            return None
        said = "This page is closed. Open the address that proveout serve printed, or scan its code again."
        return Refusal(HTTPStatus.UNAUTHORIZED, said)

    def _from_elsewhere(self, method: str, headers: Mapping[str, str]) -> Refusal | None:
        """Refuse what a page of another site sent or loads; to come from a link there is no harm."""
        site, mode = headers.get("sec-fetch-site", "none"), headers.get("sec-fetch-mode", "navigate")
        if method == "POST":
            if headers.get("origin") in self._keys.origins and site in ("same-origin", "none"):
                return None
        elif site in ("same-origin", "none") or mode == "navigate":
            return None
        return Refusal(HTTPStatus.FORBIDDEN, "This was sent from another page; it is not answered.")


def _is_public(path: str) -> bool:
    return path in _PUBLIC or path.startswith(_PUBLIC[0])


def _cookie(header: str, name: str) -> str:
    """Return the value of a cookie, or ""."""
    for part in header.split(";"):
        key, _, value = part.strip().partition("=")
        if key == name:
            return value
    return ""


def _with_headers(send: Send) -> Send:
    """Add the headers that every answer has; an answer's own go before them."""

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            given = list(message.get("headers", ()))
            own = {bytes(name).lower() for name, _ in given}
            added = [(name.encode(), value.encode()) for name, value in HEADERS.items()]
            message = {**message, "headers": [*given, *(item for item in added if item[0] not in own)]}
        await send(message)

    return sending


async def _refuse(refusal: Refusal, send: Send) -> None:
    body = f"{refusal.said}\n".encode()
    headers = [
        (b"content-type", b"text/plain; charset=utf-8"),
        (b"content-length", str(len(body)).encode()),
        (b"connection", b"close"),
    ]
    await send({"type": "http.response.start", "status": int(refusal.status), "headers": headers})
    await send({"type": "http.response.body", "body": body})
