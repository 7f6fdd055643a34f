"""Engines that questions are answered by: in line, a pool of processes, or a cluster; all of them executors."""

import multiprocessing
import os
import signal
from collections.abc import Callable
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from typing import ParamSpec, TypeVar

Given = ParamSpec("Given")
Answered = TypeVar("Answered")


class NoClusterError(Exception):
    """There is no cluster to ask, and what to do about it."""


class InLine(Executor):
    """Works a question out at once, where it is asked."""

    def submit(
        self, run: Callable[Given, Answered], /, *given: Given.args, **named: Given.kwargs
    ) -> "Future[Answered]":
        """A future that is done."""
        future: Future[Answered] = Future()
        future.set_result(run(*given, **named))
        return future


class Pool(ProcessPoolExecutor):
    """Processes of this machine. They leave interrupts to who asks, and end with the pool."""

    def __init__(self, workers: int) -> None:
        """Start as many as there are workers, each afresh: solvers' threads do not survive a fork."""
        super().__init__(workers, multiprocessing.get_context("spawn"), _leave_interrupts)
        self._before = {child.pid for child in multiprocessing.active_children()}

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """End; without waiting, end whatever is still worked on too."""
        if not wait:
            for child in multiprocessing.active_children():
                if child.pid not in self._before:
                    child.terminate()
        super().shutdown(wait, cancel_futures=cancel_futures)


def cores() -> int:
    """How many processes work side by side here."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def cluster(address: str) -> Executor:
    """The workers of the scheduler at that address; NoClusterError where there are none to be had.

    A question whose worker dies is given to another one by the scheduler.
    """
    try:
        from distributed import Client
    except ImportError:
        raise NoClusterError("clusters need more: install raworder with its extra `cluster`") from None
    try:
        executor: Executor = Client(address, set_as_default=False).get_executor()
    except (OSError, ValueError) as error:
        raise NoClusterError(f"no scheduler answers at `{address}`: {error}") from None
    return executor


def _leave_interrupts() -> None:
    """What a process of the pool does first."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
