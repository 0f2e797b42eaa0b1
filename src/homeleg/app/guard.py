"""What stands before every page: who may ask, from where, with how much; and what pages may do.

The program listens on the loopback alone. A page of another origin can still make this browser
send requests there, and another program of this machine can ask as well: so every request must
name this host, come from these pages, and carry the key of this run.

References: RFC 9110 section 7.2 (Host); RFC 6454 (Origin); RFC 6265bis (SameSite); Content Security
Policy Level 3 (W3C). Read from MEMORY.
"""

import hmac
from collections.abc import Mapping
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qs

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.responses import PlainTextResponse, RedirectResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

__all__ = ["CONTENT_SECURITY_POLICY", "Guard"]

CONTENT_SECURITY_POLICY = "; ".join(
    (
        "default-src 'self'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' blob:",
        "font-src 'self'",
        "connect-src 'self'",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    )
)
_HEADERS = {
    "Content-Security-Policy": CONTENT_SECURITY_POLICY,
    "X-Content-Type-Options": "nosniff",
    # Not no-referrer: with it a browser sends "Origin: null" from our own forms.
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}
_READING = ("GET", "HEAD")
_FORM_BYTES = 262_144
_REFUSED, _TOO_LARGE = 403, 413
_NOT_HERE = 1008  # policy violation (RFC 6455, section 7.4.1; MEMORY)


@dataclass(frozen=True, slots=True, kw_only=True)
class Guard:
    """Asks for host, origin, key and size before `app`, and binds what its pages may do.

    `largest_bytes` gives paths, by how they begin, that take more than a form does.
    """

    app: ASGIApp
    port: int
    key: str
    largest_bytes: Mapping[str, int] = field(default_factory=dict)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, or refuse it."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
        elif scope["type"] == "http":
            await self._http(scope, receive, _with_headers(send))
        else:
            await send({"type": "websocket.close", "code": _NOT_HERE})

    async def _http(self, scope: Scope, receive: Receive, send: Send) -> None:
        headers = Headers(scope=scope)
        if refusal := self._refusal(scope["method"], headers):
            await PlainTextResponse(refusal, _REFUSED)(scope, receive, send)
            return
        given = parse_qs(scope["query_string"].decode("latin-1")).get("key", [""])[0]
        if scope["path"] == "/" and scope["method"] == "GET" and self._opens(given):
            await self._let_in(scope, receive, send)
            return
        if not self._opens(self._cookie(headers)):
            words = "Open this page with the address that Homeleg printed when it started."
            await PlainTextResponse(words, _REFUSED)(scope, receive, send)
            return
        await self._sized(scope, headers, receive, send)

    def _refusal(self, method: str, headers: Headers) -> str | None:
        hosts = {f"{name}:{self.port}" for name in ("127.0.0.1", "localhost")}
        if headers.get("host") not in hosts:
            return "This program answers only to its own address on this machine."
        origin = headers.get("origin")
        if origin is None and method in _READING:
            return None
        if origin not in {f"http://{host}" for host in hosts}:
            return "This program answers only to its own pages."
        return None

    def _opens(self, key: str) -> bool:
        return hmac.compare_digest(key.encode(), self.key.encode())

    def _cookie(self, headers: Headers) -> str:
        try:
            morsel = SimpleCookie(headers.get("cookie", "")).get(self._cookie_name)
        except CookieError:
            return ""
        return "" if morsel is None else morsel.value

    @property
    def _cookie_name(self) -> str:
        return f"homeleg-{self.port}"  # cookies do not tell ports apart

    async def _let_in(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Take the key out of the address bar and into a cookie."""
        response = RedirectResponse("/", 303)
        response.set_cookie(self._cookie_name, self.key, httponly=True, samesite="strict")
        await response(scope, receive, send)

    async def _sized(self, scope: Scope, headers: Headers, receive: Receive, send: Send) -> None:
        """Answer a request of a bearable size, as told and as it comes."""
        most = self._most_bytes(scope["path"])
        told = headers.get("content-length", "0")
        words = f"This is more than the {most:,} bytes that are taken here."
        if not told.isdecimal() or int(told) > most:
            await PlainTextResponse(words, _TOO_LARGE)(scope, receive, send)
            return
        came = 0

        async def counted() -> Message:
            nonlocal came
            message = await receive()
            came += len(message.get("body", b""))
            if came > most:
                raise HTTPException(_TOO_LARGE, words)
            return message

        await self.app(scope, counted, send)

    def _most_bytes(self, path: str) -> int:
        larger = [most for begin, most in self.largest_bytes.items() if path.startswith(begin)]
        return max(larger, default=_FORM_BYTES)


def _with_headers(send: Send) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            headers.update(_HEADERS)
            headers.setdefault("Cache-Control", "no-store")
        await send(message)

    return sending
