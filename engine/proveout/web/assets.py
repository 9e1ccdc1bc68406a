"""What every page uses and no case is in: style, script, icon, manifest: read once, by fixed names."""

from __future__ import annotations

import json
from importlib.resources import files

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from proveout.web.render import rendered

_KINDS = {
    "app.css": "text/css; charset=utf-8",
    "app.js": "text/javascript; charset=utf-8",
    "worker.js": "text/javascript; charset=utf-8",
    "icon.svg": "image/svg+xml",
}
_MANIFEST = {
    "name": "proveout",
    "short_name": "proveout",
    "description": "What is wrong with the car, before anything is bought.",
    "start_url": "/",
    "scope": "/",
    "display": "standalone",
    "background_color": "#faf7f0",
    "theme_color": "#22404a",
    "icons": [
        {"src": "/static/icon.svg", "sizes": "any", "type": "image/svg+xml", "purpose": "any maskable"}
    ],
}


def asset_routes() -> list[Route]:
    """Return the routes of all assets."""
    static = files("proveout.web") / "static"
    held = {name: (static / name).read_bytes() for name in _KINDS}
    routes = [_fixed(f"/static/{name}", held[name], kind) for name, kind in _KINDS.items()]
    return [
        *routes,
        _fixed("/favicon.ico", held["icon.svg"], _KINDS["icon.svg"]),
        _fixed("/worker.js", held["worker.js"], _KINDS["worker.js"]),
        _fixed("/manifest.webmanifest", json.dumps(_MANIFEST).encode(), "application/manifest+json"),
        _fixed("/offline", rendered("offline.html", {}).encode(), "text/html; charset=utf-8"),
    ]


def _fixed(path: str, data: bytes, kind: str) -> Route:
    async def asset(_request: Request) -> Response:
        return Response(data, headers={"content-type": kind, "cache-control": "no-cache"})

    return Route(path, asset, methods=["GET"])
