"""What happens to an answer, told to a page as server-sent events."""

from collections.abc import AsyncGenerator, AsyncIterator
from contextlib import aclosing

from starlette.responses import StreamingResponse

from homeleg.app.checks import Event

__all__ = ["event_stream"]

_PING = ": here\n\n"
_PING_EVERY = 50  # quiet moments


def event_stream(following: AsyncGenerator[Event]) -> StreamingResponse:
    """Return the answer that tells all that is followed, and now and then that we are here."""
    return StreamingResponse(_told(following), media_type="text/event-stream")


async def _told(following: AsyncGenerator[Event]) -> AsyncIterator[str]:
    quiet = 0
    async with aclosing(following) as events:
        async for event in events:
            quiet = quiet + 1 if event.kind == "quiet" else 0
            if quiet == 0:
                yield f"event: {event.kind}\ndata: {event.words}\n\n"
            elif quiet % _PING_EVERY == 0:
                yield _PING
