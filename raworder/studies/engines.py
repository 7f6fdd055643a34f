"""Engines that questions are answered by: in line, a pool of processes, or a cluster; all of them executors."""

import multiprocessing
import os
import signal
from collections.abc import Callable
from concurrent.futures import CancelledError, Executor, Future, ProcessPoolExecutor
from dataclasses import dataclass
from typing import ParamSpec, TypeVar

Given = ParamSpec("Given")
Answered = TypeVar("Answered")


class NoClusterError(Exception):
    """There is no cluster to ask, and what to do about it."""


class ClusterLostError(OSError):
    """The cluster has gone, or a question has ended every worker that it was given to."""


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


PATIENCE_S = 10
"""Seconds in which a scheduler must answer, and have a worker."""

PULSE_S = 2
"""Seconds in which a scheduler must say when it last heard of its workers; they report every second or so."""

Pulse = frozenset[tuple[str, object]]
"""The workers of a cluster, each with when it was last heard of by the scheduler's clock."""


class Cluster(Executor):
    """The workers of a scheduler, which gives the question of a worker that dies to another one."""

    def __init__(self, address: str, patience_s: int = PATIENCE_S) -> None:
        """Meet the scheduler at that address; NoClusterError where there is none to be had."""
        try:
            from distributed import Client
            from distributed.comm import get_address_host_port
        except ImportError:
            raise NoClusterError("a cluster needs more: install raworder with its extra `cluster`") from None
        address = address if "://" in address else f"tcp://{address}"
        try:
            get_address_host_port(address, strict=True)  # a client of a wrong address complains when it is too late
            self._client = Client(address, set_as_default=False, timeout=patience_s)
        except (OSError, ValueError) as error:
            raise NoClusterError(f"no scheduler answers at `{address}`: {error}") from None
        try:
            self._client.wait_for_workers(1, timeout=patience_s)
        except TimeoutError:
            self._client.close()
            raise NoClusterError(f"the scheduler at `{address}` has no worker: start one with `dask worker`") from None
        self._executor: Executor = self._client.get_executor(pure=False)

    def submit(
        self, run: Callable[Given, Answered], /, *given: Given.args, **named: Given.kwargs
    ) -> "Future[Answered]":
        """A future that a worker does; ClusterLostError in it where the cluster could not."""
        told: Future[Answered] = Future()
        told.set_running_or_notify_cancel()
        self._executor.submit(run, *given, **named).add_done_callback(lambda done: _hand_over(done, told))
        return told

    def pulse(self) -> Pulse:
        """When each worker was last heard of; the same as before, or nothing, where none is alive."""
        try:
            told = self._client.sync(self._client.scheduler.identity, callback_timeout=PULSE_S)
        except (OSError, TimeoutError):
            return frozenset()
        return frozenset((name, worker.get("last_seen")) for name, worker in told["workers"].items())

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """Leave the scheduler; without waiting, or where it is asked for, with nothing left to do."""
        self._executor.shutdown(wait=wait and not cancel_futures)
        self._client.close()


@dataclass
class Silence:
    """For how long no worker of a cluster has been heard of."""

    since: float
    heard: Pulse = frozenset()

    def seconds(self, pulse: Pulse, now: float) -> float:
        """The seconds until now, once it is known what the scheduler says now."""
        if pulse - self.heard:
            self.since = now
        self.heard = pulse
        return now - self.since


def _hand_over(done: "Future[Answered]", told: "Future[Answered]") -> None:
    """Pass an answer on, or what went wrong; what the cluster itself has to say is told as one thing."""
    error = CancelledError() if done.cancelled() else done.exception()
    if error is None:
        told.set_result(done.result())
    elif isinstance(error, CancelledError) or type(error).__module__.startswith("distributed"):
        told.set_exception(ClusterLostError(f"the cluster was lost, or a question ended every worker ({error!r})"))
    else:
        told.set_exception(error)


def _leave_interrupts() -> None:
    """What a process of the pool does first."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
