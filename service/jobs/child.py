"""What runs in a solver process: take a job from the pipe, carry it out, answer, repeat."""

import os
import signal
import threading
from multiprocessing import parent_process
from multiprocessing.connection import Connection, wait

from service.jobs.outcomes import Hail, PlanJob
from service.jobs.work import carry_out


def serve_jobs(pipe: "Connection[object, object]") -> None:
    """Serve until the pipe closes. Standard output goes to the null device: the solver prints."""
    # The parent decides what an interrupt at the terminal means.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    null = os.open(os.devnull, os.O_WRONLY)
    os.dup2(null, 1)
    os.close(null)
    threading.Thread(target=_end_with_parent, daemon=True).start()
    pipe.send(Hail())
    while True:
        try:
            request = pipe.recv()
        except EOFError:
            return
        answer: object = request
        if isinstance(request, PlanJob):
            answer = carry_out(request)
        pipe.send(answer)


def _end_with_parent() -> None:
    """End the process when its parent is gone, even in the middle of a job."""
    parent = parent_process()
    if parent is not None:
        wait([parent.sentinel])
        os._exit(1)
