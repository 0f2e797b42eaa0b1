"""Write a recording so that a power cut costs a second at most; the reader of the link never waits.

A thread of its own appends and makes the file durable each second. Whoever records asks `failed`
now and then: a full disk ends the recording, not the flight.
"""

import os
import threading
from pathlib import Path
from queue import Empty, Queue

__all__ = ["Recorder"]

_DURABLE_EACH_S = 1.0


class Recorder:
    """Appends records to a new file until it is closed.

    Raises FileExistsError and other OSError where the file cannot be made.
    """

    def __init__(self, path: Path, header: bytes) -> None:
        self._file = path.open("xb", buffering=0)
        self._file.write(header)
        os.fsync(self._file.fileno())
        self._waiting: Queue[bytes] = Queue()
        self._over = threading.Event()
        self.failed: OSError | None = None
        self.written_bytes = 0
        self._thread = threading.Thread(target=self._run, name="recorder")
        self._thread.start()

    def add(self, record: bytes) -> None:
        """Take a record; it is written by and by."""
        self._waiting.put(record)

    def close(self) -> None:
        """Write what is waiting and close; `failed` says whether all of it is there."""
        self._over.set()
        self._thread.join()
        self._file.close()

    def _run(self) -> None:
        try:
            while not self._over.wait(_DURABLE_EACH_S):
                self._write_waiting()
            self._write_waiting()
        except OSError as error:
            self.failed = error

    def _write_waiting(self) -> None:
        """Append all that waits as one piece and make it durable."""
        records = []
        while True:
            try:
                records.append(self._waiting.get_nowait())
            except Empty:
                break
        data = memoryview(b"".join(records))
        while data:
            written = self._file.write(data) or 0
            self.written_bytes += written
            data = data[written:]
        os.fsync(self._file.fileno())
