"""Which path is answered by what, and how answers and errors become what a browser gets."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Awaitable, Callable
from functools import partial
from typing import TypeAlias
from urllib.parse import quote

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response
from starlette.routing import Route
from starlette.types import ASGIApp

from proveout.model.problem import BadInputError, DamagedRecordError, Problem, WrongUsageError
from proveout.text.visible import visible
from proveout.web import doing, inspecting, looking, telling
from proveout.web.asking import Answer, Ask, Data, Moved, Page, RefusedError, Sheet, fields_of
from proveout.web.assets import asset_routes
from proveout.web.desk import Desk
from proveout.web.door import ENTER, HEADERS, Door, Keys
from proveout.web.render import rendered

Work: TypeAlias = Callable[[Desk, Ask], Answer]

#: What is looked at, and what is sent, by path.
LOOKED_AT: dict[str, Work] = {
    "/": looking.cases,
    "/new": telling.new,
    "/find": looking.find,
    "/terms": looking.terms,
    "/case/{name}": looking.case,
    "/case/{name}/head": looking.head,
    "/case/{name}/do/{inspection}": inspecting.inspection,
    "/case/{name}/add": telling.adding,
    "/case/{name}/why": looking.why,
    "/case/{name}/report": looking.report,
    "/case/{name}/sheet": looking.sheet,
}
SENT: dict[str, Work] = {
    "/new": telling.open_new,
    "/case/{name}/reading": inspecting.reading,
    "/case/{name}/add": telling.add,
    "/case/{name}/aside": doing.set_aside,
    "/case/{name}/undo": doing.undo,
    "/case/{name}/bought": doing.bought,
    "/case/{name}/mended": doing.mended,
    "/case/{name}/put-right": doing.put_right,
    "/case/{name}/watched": doing.watched,
    "/case/{name}/verified": doing.verified,
    "/case/{name}/closed": doing.closed,
    "/case/{name}/reopened": doing.reopened,
}
#: Complaints that mean: not wrong, but others were faster.
_CONFLICTS = frozenset({"moved-on", "overtaken", "closed-before", "file-exists", "in-use"})


def application(desk: Desk, keys: Keys, tell: Callable[[str], None]) -> ASGIApp:
    """Return the application.

    Args:
        desk: does the work.
        keys: what opens the door.
        tell: takes one line for whoever runs the server, where something failed.
    """
    routes = [Route(path, _endpoint(desk, work, tell), methods=["GET"]) for path, work in LOOKED_AT.items()]
    routes += [Route(path, _endpoint(desk, work, tell), methods=["POST"]) for path, work in SENT.items()]
    enter = Route(f"{ENTER}{{token}}", partial(_enter, keys), methods=["GET"])
    missing = {HTTPException: _missing}
    return Door(Starlette(routes=[enter, *routes, *asset_routes()], exception_handlers=missing), keys)


async def _enter(keys: Keys, request: Request) -> Response:
    """Return a browser that has the printed address the token to keep; a page goes on from there.

    A redirect would come from wherever the link was followed, and the cookie would not be sent along.
    """
    if not keys.fit(request.path_params["token"]):
        return HTMLResponse(_message("This address is not valid (any more)", _SCAN), 401)
    return HTMLResponse(rendered("enter.html", {}), headers={"set-cookie": keys.kept()})


_SCAN = "Open the address that proveout serve printed, or scan its code again."


async def _missing(_request: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else 404
    return HTMLResponse(_message("There is nothing here", "Go back to the list of cases."), status)


def _endpoint(
    desk: Desk, work: Work, tell: Callable[[str], None]
) -> Callable[[Request], Awaitable[Response]]:
    async def endpoint(request: Request) -> Response:
        waits = "application/json" in request.headers.get("accept", "")
        try:
            fields = await fields_of(request)
            ask = Ask(place=request.path_params, fields=fields, waits=waits)
            return await desk.do(partial(_worked, desk, work, ask, tell))
        except RefusedError as refusal:
            return _refused(refusal, waits)

    return endpoint


def _worked(desk: Desk, work: Work, ask: Ask, tell: Callable[[str], None]) -> Response:
    """Do the work of a request and return what the browser gets, whatever happens."""
    try:
        return _response(work(desk, ask), ask.waits)
    except RefusedError as refusal:
        return _refused(refusal, ask.waits)
    except DamagedRecordError as error:
        return _problems("The record of this case is damaged", error.problems, 409, ask)
    except BadInputError as error:
        moved = any(problem.check in _CONFLICTS for problem in error.problems)
        heading = "The case has gone on meanwhile" if moved else "That cannot be used"
        return _problems(heading, error.problems, 409 if moved else 422, ask)
    except WrongUsageError as error:
        return HTMLResponse(_message("That cannot be done", str(error)), 422)
    except Exception as error:  # the last line of defence: no traceback reaches anybody
        tell(f"Internal fault: {type(error).__name__}: {str(error)[:500]}. Please report it.")
        said = "What the case holds is kept; look whether what you did last is among it. Please report this."
        return HTMLResponse(_message("Something failed here", said), 500)


def _response(answer: Answer, waits: bool) -> Response:
    if isinstance(answer, Data):
        return JSONResponse(dict(answer.document))
    if isinstance(answer, Moved):
        to = quote(answer.to)
        return JSONResponse({"to": to}) if waits else RedirectResponse(to, 303)
    if isinstance(answer, Sheet):
        return HTMLResponse(
            visible(answer.html), headers={"content-security-policy": _sheet_policy(answer.style)}
        )
    assert isinstance(answer, Page)
    return HTMLResponse(rendered(answer.template, answer.data), answer.status)


def _sheet_policy(style: str) -> str:
    """Return the policy of a page to print, which holds its one style sheet and no script."""
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    own = f"style-src 'sha256-{digest}'"
    return (
        HEADERS["content-security-policy"].replace("style-src 'self'", own).replace("script-src 'self'; ", "")
    )


def _refused(refusal: RefusedError, waits: bool) -> Response:
    wait = {"retry-after": "2"} if refusal.status == 503 else {}
    if waits:
        return JSONResponse({"problems": [refusal.said]}, int(refusal.status), headers=wait)
    return HTMLResponse(_message("That cannot be answered", refusal.said), int(refusal.status), headers=wait)


def _problems(heading: str, problems: tuple[Problem, ...], status: int, ask: Ask) -> Response:
    said = [told(problem) for problem in problems[:20]]
    if ask.waits:
        return JSONResponse({"problems": said}, status)
    return HTMLResponse(_message(heading, *said, back=ask.place.get("name", "")), status)


def told(problem: Problem) -> str:
    """Return a problem in a sentence, without the place of files that are nobody's business here."""
    expected = f" Expected: {problem.expected}." if problem.expected else ""
    mend = f" {problem.mend[:1].upper()}{problem.mend[1:]}." if problem.mend else ""
    return f"{problem.saw[:1].upper()}{problem.saw[1:]}.{expected}{mend}"


def _message(heading: str, *said: str, back: str = "") -> str:
    return rendered("message.html", {"heading": heading, "said": said, "back": back})
