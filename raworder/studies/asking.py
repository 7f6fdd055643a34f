"""How a study has many plans made: in this process, on several cores, or on a cluster, with progress told."""

import multiprocessing
import os
import signal
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import BrokenExecutor, CancelledError, Executor, Future, ProcessPoolExecutor, as_completed
from dataclasses import dataclass
from time import monotonic
from typing import Any, Generic, ParamSpec, TypeVar

from raworder.solving.solver import FIRST_WORD_S, Settings

Given = ParamSpec("Given")
Answered = TypeVar("Answered")


class NoClusterError(Exception):
    """There is no cluster to use; the message says what to do about it."""


class ClusterLostError(OSError):
    """The cluster has gone, or a question has killed every worker that it was given to."""


class InLine(Executor):
    """Works out a question at once, in this process."""

    def submit(
        self, run: Callable[Given, Answered], /, *given: Given.args, **named: Given.kwargs
    ) -> "Future[Answered]":
        """A future that is done already."""
        future: Future[Answered] = Future()
        future.set_result(run(*given, **named))
        return future


class Pool(ProcessPoolExecutor):
    """Processes on this machine. They leave interrupts to the main process, and end with the pool."""

    def __init__(self, workers: int) -> None:
        """Start the workers, each as a new process: solvers' threads do not survive a fork."""
        super().__init__(workers, multiprocessing.get_context("spawn"), _leave_interrupts)
        self._before = {child.pid for child in multiprocessing.active_children()}

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """End the pool; without waiting, also kill whatever is still worked on."""
        if not wait:
            for child in multiprocessing.active_children():
                if child.pid not in self._before:
                    child.terminate()
        super().shutdown(wait, cancel_futures=cancel_futures)


def count_cores() -> int:
    """The number of processors that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


PATIENCE_S = 10
"""Seconds in which a scheduler must answer, and have a worker."""

PULSE_S = 2
"""Seconds in which a scheduler must say when it last heard from its workers, which report about every second."""

Pulse = frozenset[tuple[str, object]]
"""The workers of a cluster, each with the time, by the scheduler's clock, when it was last heard from."""


class Cluster(Executor):
    """The workers of a Dask scheduler, which gives the question of a worker that dies to another worker."""

    def __init__(self, address: str, patience_s: int = PATIENCE_S) -> None:
        """Connect to the scheduler at this address; NoClusterError where that fails or it has no worker."""
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
        """A future that a worker works out; it holds ClusterLostError where the cluster fails."""
        answer: Future[Answered] = Future()
        answer.set_running_or_notify_cancel()
        self._executor.submit(run, *given, **named).add_done_callback(lambda done: _hand_over(done, answer))
        return answer

    def pulse(self) -> Pulse:
        """When each worker was last heard from; the same as before, or nothing, where none is alive."""
        try:
            identity = self._client.sync(self._client.scheduler.identity, callback_timeout=PULSE_S)
        except (OSError, TimeoutError):
            return frozenset()
        return frozenset((name, worker.get("last_seen")) for name, worker in identity["workers"].items())

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """Leave the scheduler; unless told to wait for them, open questions are dropped."""
        self._executor.shutdown(wait=wait and not cancel_futures)
        self._client.close()


@dataclass
class Silence:
    """For how long no worker of a cluster has been heard from."""

    since: float
    heard: Pulse = frozenset()

    def seconds(self, pulse: Pulse, now: float) -> float:
        """The seconds of silence until now, given what the scheduler says now."""
        if pulse - self.heard:
            self.since = now
        self.heard = pulse
        return now - self.since


def _hand_over(done: "Future[Answered]", answer: "Future[Answered]") -> None:
    """Pass an answer or an error on; whatever goes wrong with the cluster itself becomes ClusterLostError."""
    error = CancelledError() if done.cancelled() else done.exception()
    if error is None:
        answer.set_result(done.result())
    elif isinstance(error, CancelledError) or type(error).__module__.startswith("distributed"):
        answer.set_exception(ClusterLostError(f"the cluster was lost, or a question ended every worker ({error!r})"))
    else:
        answer.set_exception(error)


def _leave_interrupts() -> None:
    """Ignore interrupts, as the first thing in a process of the pool."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)


POOL_IS_WORTH_S = 2.0
"""Seconds of work left from which a pool pays: its processes take most of a second to start."""

LOOK_EVERY_S = 1.0
"""Seconds between looks at how an engine gets on."""

SILENT_S = 6
"""Seconds without a sign from any worker of a cluster after which a person is warned."""

LONGEST_SILENCE_S = 600
"""Seconds without a sign after which a study ends, where there is no time limit."""

MOST_DEATHS = 3
"""The number of pools in a row that may break without answering a question."""

Progress = Callable[[int, int, float | None], None]
"""Called about every second with the questions answered, all questions, and a guess at the seconds left, if any."""


@dataclass(frozen=True, slots=True)
class Task(Generic[Answered]):
    """A question: a module-level function with its arguments, and a key that no other question of the round has.

    The arguments and the answer can be pickled, so that another process can work it out.
    """

    key: str
    run: Callable[..., Answered]
    given: tuple[Any, ...]


@dataclass
class Ask:
    """Answers questions. `settings` are for every solve; `engine` is a pool, a cluster, or None for the quickest.

    `warn` is called with what a person must know at once; `clock` counts seconds.
    After an interrupt `interrupted` is set and nothing more is answered: a study then prints what it has.
    """

    settings: Settings = Settings()  # noqa: RUF009 - it is frozen
    engine: Executor | None = None
    workers: int = 1
    progress: Progress | None = None
    warn: Callable[[str], None] | None = None
    clock: Callable[[], float] = monotonic
    interrupted: bool = False
    asked: int = 0
    answered: int = 0
    _told_at: float = 0.0
    _usual_s: float = 0.0

    def __call__(self, tasks: Sequence[Task[Answered]]) -> dict[str, Answered]:
        """The answers by key, in the order of the tasks; some are missing only after an interrupt.

        ValueError where two of the tasks have the same key.
        """
        if len({task.key for task in tasks}) < len(tasks):
            raise ValueError("two questions have the same key")
        answers: dict[str, Answered] = {}
        if self.interrupted:
            return answers
        self.asked += len(tasks)
        try:
            self._answer(tasks, answers)
        except KeyboardInterrupt:
            self.interrupted = True
            self.close()
        return {task.key: answers[task.key] for task in tasks if task.key in answers}

    def close(self) -> None:
        """Shut the engine down, dropping whatever it still works on."""
        engine, self.engine = self.engine, None
        if engine is not None:
            engine.shutdown(wait=False, cancel_futures=True)

    def _answer(self, tasks: Sequence[Task[Answered]], answers: dict[str, Answered]) -> None:
        """Answer in this process while that is quick, the rest by the engine; a pool that breaks is replaced."""
        began, deaths = monotonic(), 0
        for done, task in enumerate(tasks):
            if self.engine is not None or self._is_long(len(tasks) - done):
                break
            self._note(answers, task, InLine().submit(task.run, *task.given))
            self._usual_s = (monotonic() - began) / (done + 1)
            self._tell(began, done + 1, len(tasks))
        while rest := [task for task in tasks if task.key not in answers]:
            before = len(answers)
            self._answer_by_engine(rest, answers)
            deaths = deaths + 1 if len(answers) == before else 0
            if deaths == MOST_DEATHS:
                raise RuntimeError(f"workers died {deaths} times; {len(rest)} of {len(tasks)} questions are open")

    def _is_long(self, left: int) -> bool:
        """Whether the questions left, at the pace so far, are worth starting a pool."""
        return self.workers > 1 and left > 1 and self._usual_s * left > POOL_IS_WORTH_S

    def _answer_by_engine(self, tasks: Sequence[Task[Answered]], answers: dict[str, Answered]) -> None:
        """Answer by the engine; where a worker dies and takes the pool with it, the rest is left for a new pool."""
        if self.engine is None:
            self.engine = Pool(self.workers)
        began, of = monotonic(), {}
        try:
            of = {self.engine.submit(task.run, *task.given): task for task in tasks}
            for done, future in enumerate(self._as_completed(of, began), start=1):
                self._note(answers, of[future], future)
                self._tell(began, done, len(of))
        except BrokenExecutor:
            if not isinstance(self.engine, Pool):
                raise
            self.close()

    def _as_completed(self, of: "dict[Future[Answered], Task[Answered]]", began: float) -> "Iterator[Future[Answered]]":
        """The futures as they are done; progress is told about every second meanwhile."""
        open_, silence, is_warned = set(of), Silence(self.clock()), False
        while open_:
            # Waits in short turns, so that a silent cluster is noticed even while nothing is done.
            try:
                for future in as_completed(set(open_), timeout=LOOK_EVERY_S):
                    open_.discard(future)
                    yield future
            except TimeoutError:
                self._tell(began, len(of) - len(open_), len(of))
                is_warned = self._check_silence(silence, is_warned=is_warned)

    def _check_silence(self, silence: Silence, *, is_warned: bool) -> bool:
        """Whether a person has been warned that no worker of a cluster answers; ClusterLostError after too long."""
        if not isinstance(self.engine, Cluster):
            return False
        silent_s = silence.seconds(self.engine.pulse(), self.clock())
        if silent_s >= max(self.settings.time_limit_s or LONGEST_SILENCE_S, SILENT_S):
            raise ClusterLostError(
                f"no worker of the cluster has answered for {silent_s:.0f} s; start one and ask again"
            )
        if silent_s >= SILENT_S and not is_warned and self.warn:
            self.warn(
                f"no worker of the cluster answers; waiting for one, {self.answered} of {self.asked} are answered\n"
            )
        return silent_s >= SILENT_S

    def _note(self, answers: dict[str, Answered], task: Task[Answered], future: "Future[Answered]") -> None:
        """Keep an answer."""
        answers[task.key] = future.result()
        self.answered += 1

    def _tell(self, began: float, done: int, of: int) -> None:
        """Tell the progress, at most once a second, and not at all for what is soon over."""
        now = monotonic()
        if self.progress and self.answered < self.asked and now - max(began + FIRST_WORD_S - 1, self._told_at) >= 1:
            self._told_at = now
            self.progress(self.answered, self.asked, (now - began) / done * (of - done) if done else None)
