"""Was the aircraft started again? Its time since it was started, held against our own clock.

A message that is late shows a time that is behind for once; what was queued on the way catches up
within a moment. A start moves the time back for good. So a time that is behind is a doubt, and a
doubt that lasts is a start; far behind it is one at once. One clock follows one kind of message:
kinds differ in when they take their time.
"""

from dataclasses import dataclass

__all__ = ["BootClock"]

# Farther back than any link holds a message; by how much two messages may come closer or farther
# apart than they were sent; how long what was queued may take to catch up. Ours.
_FAR_BACK_S = 5.0
_STRETCHED_S = 2.0
_CATCHES_UP_S = 2.0


@dataclass(slots=True)
class BootClock:
    """The last time of one kind of message that was in line, and when it was heard [s]."""

    told_s: float
    heard_s: float
    doubted_s: float | None = None

    def is_started_again(self, told_s: float, heard_s: float) -> bool:
        """Take a time; return whether it shows another start than those before."""
        if told_s <= self.told_s - _FAR_BACK_S:
            return True
        stretched_s = (heard_s - self.heard_s) - (told_s - self.told_s)
        # A time that stands still is that of a source without news, and tells nothing.
        if told_s == self.told_s or (told_s > self.told_s and stretched_s <= _STRETCHED_S):
            self.told_s, self.heard_s, self.doubted_s = told_s, heard_s, None
            return False
        if self.doubted_s is None:
            self.doubted_s = heard_s
        return heard_s - self.doubted_s >= _CATCHES_UP_S
