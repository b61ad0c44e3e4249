"""What runs in a solver process: take a job from the pipe, carry it out, answer, repeat."""

import os
import signal
import threading
import time
from multiprocessing import parent_process
from multiprocessing.connection import Connection, wait

from optimiser.domain.progress import Phase, Progress
from service.garbage import spare_what_stays
from service.jobs.outcomes import Hail, PlanJob, StudyJob
from service.jobs.study_work import carry_out_study
from service.jobs.work import carry_out

PAUSE_SECONDS = 0.5
"""The least time between two words of one phase."""


def serve_jobs(pipe: "Connection[object, object]") -> None:
    """Serve until the pipe closes. Standard output goes to the null device: the solver prints."""
    # The parent decides what an interrupt at the terminal means.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    null = os.open(os.devnull, os.O_WRONLY)
    os.dup2(null, 1)
    os.close(null)
    threading.Thread(target=_end_with_parent, daemon=True).start()
    spare_what_stays()
    pipe.send(Hail())
    while True:
        try:
            request = pipe.recv()
        except EOFError:
            return
        answer: object = request
        if isinstance(request, PlanJob | StudyJob):
            observer = _Teller(pipe).tell if request.watched else None
            answer = (
                carry_out(request, observer)
                if isinstance(request, PlanJob)
                else carry_out_study(request, observer)
            )
        pipe.send(answer)


class _Teller:
    """Sends word of each phase at once, and of costs and bounds now and then."""

    def __init__(self, pipe: "Connection[object, object]") -> None:
        self._pipe = pipe
        self._phase: Phase | None = None
        self._told = 0.0

    def tell(self, progress: Progress) -> None:
        now = time.monotonic()
        if progress.phase is self._phase and now < self._told + PAUSE_SECONDS:
            return
        self._phase, self._told = progress.phase, now
        self._pipe.send(progress)


def _end_with_parent() -> None:
    """End the process when its parent is gone, even in the middle of a job."""
    parent = parent_process()
    if parent is not None:
        wait([parent.sentinel])
        os._exit(1)
