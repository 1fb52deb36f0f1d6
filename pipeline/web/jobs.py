"""Long work, one piece at a time: reading recordings, writing documents. What a kill cuts off is offered again."""

from __future__ import annotations

import logging
import queue
import threading
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from pipeline.errors import TallywalkError

LOG = logging.getLogger(__name__)
Work = Callable[[Callable[[str, float, float], None]], Any]
"""Gets a progress callback; what it returns is the job's result."""


@dataclass
class Job:
    """One piece of work as the page shows it."""

    number: int
    title: str
    key: str
    """The same work is not queued twice."""
    state: str = "waiting"
    """waiting, working, done or failed."""
    stage: str = ""
    done: float = 0.0
    whole: float = 0.0
    message: str = ""
    remedy: str = ""
    result: Any = None


class Jobs:
    """A queue with one worker: two recognisers at once would only slow each other on a laptop."""

    def __init__(self) -> None:
        self._queue: queue.Queue[tuple[Job, Work]] = queue.Queue()
        self._jobs: list[Job] = []
        self._lock = threading.Lock()
        self._thread: threading.Thread | None = None

    def add(self, title: str, key: str, work: Work) -> Job:
        """Queue work, or find it where it waits or runs already."""
        with self._lock:
            for job in self._jobs:
                if job.key == key and job.state in ("waiting", "working"):
                    return job
            job = Job(len(self._jobs) + 1, title, key)
            self._jobs.append(job)
            self._queue.put((job, work))
            if self._thread is None:
                self._thread = threading.Thread(target=self._run, name="tallywalk-jobs", daemon=True)
                self._thread.start()
        return job

    def get(self, number: int) -> Job | None:
        """A job by its number."""
        with self._lock:
            return self._jobs[number - 1] if 0 < number <= len(self._jobs) else None

    def recent(self) -> list[Job]:
        """The last twenty, newest first."""
        with self._lock:
            return self._jobs[-20:][::-1]

    def _run(self) -> None:
        while True:
            job, work = self._queue.get()
            job.state = "working"

            def progress(stage: str, done: float, whole: float, job: Job = job) -> None:
                job.stage, job.done, job.whole = stage, done, whole

            try:
                job.result = work(progress)
                job.state = "done"
            except TallywalkError as error:
                job.message, job.remedy, job.state = str(error), error.remedy, "failed"
            except Exception as error:  # one bad recording must not stop those behind it
                LOG.exception("a job failed: %s", job.title)
                job.message = f"an unforeseen error: {type(error).__name__}: {error}"[:300]
                job.remedy = "Start with tallywalk --debug review and try again."
                job.state = "failed"
