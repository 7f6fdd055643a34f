"""Asking: many questions that do not depend on one another, answered in line, by a pool of processes, or by a cluster.

The answers are the same whoever works them out, and come back by key.
"""

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import BrokenExecutor, Executor, Future, as_completed
from dataclasses import dataclass
from time import monotonic
from typing import Any, Generic, TypeVar

from raworder.solving.solver import FIRST_WORD_S, Settings
from raworder.studies.engines import Cluster, ClusterLostError, InLine, Pool, Silence

Answered = TypeVar("Answered")

POOL_IS_WORTH_S = 2.0
"""Seconds of work left from which a pool pays: its processes take most of a second to start."""

LOOK_EVERY_S = 1.0
"""Seconds after which it is looked how questions to an engine go."""

SILENT_S = 6
"""Seconds without a word of any worker of a cluster after which a person is told."""

LONGEST_SILENCE_S = 600
"""Seconds without one after which a study ends, where there is no time limit."""

MOST_DEATHS = 3
"""So many pools may break in a row, with no question answered between."""

Progress = Callable[[int, int, float], None]
"""Told every second or so: how many questions are answered, of how many, and about how many seconds are left."""


@dataclass(frozen=True, slots=True)
class Task(Generic[Answered]):
    """A question: a function of a module with what it is given, and a key unlike any other asked with it.

    All that is given, and the answer, can be sent to another process.
    """

    key: str
    run: Callable[..., Answered]
    given: tuple[Any, ...]


@dataclass
class Ask:
    """Who is asked. `settings` are for every solve; `engine` is a pool, a cluster, or None for whatever is quickest.

    `warn` is told what a person must know at once, `clock` counts seconds.
    After an interrupt `interrupted` is set and nothing more is answered: a study then tells what it has.
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
    _told: float = 0.0
    _usual_s: float = 0.0

    def __call__(self, tasks: Sequence[Task[Answered]]) -> dict[str, Answered]:
        """The answers by key, in the order of the tasks; some are missing only after an interrupt.

        ValueError where two of the tasks have the same key.
        """
        if len({task.key for task in tasks}) < len(tasks):
            raise ValueError("two questions have the same key")
        found: dict[str, Answered] = {}
        if self.interrupted:
            return found
        self.asked += len(tasks)
        try:
            self._answer(tasks, found)
        except KeyboardInterrupt:
            self.interrupted = True
            self.close()
        return {task.key: found[task.key] for task in tasks if task.key in found}

    def close(self) -> None:
        """Let the engine go, with whatever it still works on."""
        engine, self.engine = self.engine, None
        if engine is not None:
            engine.shutdown(wait=False, cancel_futures=True)

    def _answer(self, tasks: Sequence[Task[Answered]], found: dict[str, Answered]) -> None:
        """Answer in line while that is quick, the rest by the engine; a pool that breaks is made anew."""
        began, deaths = monotonic(), 0
        for done, task in enumerate(tasks):
            if self.engine is not None or self._is_long(len(tasks) - done):
                break
            self._note(found, task, InLine().submit(task.run, *task.given))
            self._usual_s = (monotonic() - began) / (done + 1)
            self._tell(began, done + 1, len(tasks))
        while rest := [task for task in tasks if task.key not in found]:
            before = len(found)
            self._by_engine(rest, found)
            deaths = deaths + 1 if len(found) == before else 0
            if deaths == MOST_DEATHS:
                raise RuntimeError(f"workers died {deaths} times; {len(rest)} of {len(tasks)} questions are open")

    def _is_long(self, left: int) -> bool:
        """Whether so many questions, if they take as long as those before, are worth the start of a pool."""
        return self.workers > 1 and left > 1 and self._usual_s * left > POOL_IS_WORTH_S

    def _by_engine(self, tasks: Sequence[Task[Answered]], found: dict[str, Answered]) -> None:
        """Answer by the engine; where a worker dies and takes the pool with it, the rest is left for a new one."""
        if self.engine is None:
            self.engine = Pool(self.workers)
        began, of = monotonic(), {}
        try:
            of = {self.engine.submit(task.run, *task.given): task for task in tasks}
            for done, future in enumerate(self._as_completed(of, began), start=1):
                self._note(found, of[future], future)
                self._tell(began, done, len(of))
        except BrokenExecutor:
            if not isinstance(self.engine, Pool):
                raise
            self.close()

    def _as_completed(self, of: "dict[Future[Answered], Task[Answered]]", began: float) -> "Iterator[Future[Answered]]":
        """The futures as they are done; how it goes is told every second meanwhile."""
        open_, silence, told = set(of), Silence(self.clock()), False
        while open_:
            try:
                for future in as_completed(set(open_), timeout=LOOK_EVERY_S):
                    open_.discard(future)
                    yield future
            except TimeoutError:
                self._tell(began, len(of) - len(open_), len(of))
                told = self._listen(silence, told=told)

    def _listen(self, silence: Silence, *, told: bool) -> bool:
        """Whether a person has been told that no worker of a cluster answers; ClusterLostError after too long."""
        if not isinstance(self.engine, Cluster):
            return False
        silent_s = silence.seconds(self.engine.pulse(), self.clock())
        if silent_s >= max(self.settings.time_limit_s or LONGEST_SILENCE_S, SILENT_S):
            raise ClusterLostError(
                f"no worker of the cluster has answered for {silent_s:.0f} s; start one and ask again"
            )
        if silent_s >= SILENT_S and not told and self.warn:
            self.warn(
                f"no worker of the cluster answers; waiting for one, {self.answered} of {self.asked} are answered\n"
            )
        return silent_s >= SILENT_S

    def _note(self, found: dict[str, Answered], task: Task[Answered], future: "Future[Answered]") -> None:
        """Keep an answer."""
        found[task.key] = future.result()
        self.answered += 1

    def _tell(self, began: float, done: int, of: int) -> None:
        """Tell how it goes, not more often than every second, and not of what is soon over."""
        now = monotonic()
        if (
            self.progress
            and done
            and self.answered < self.asked
            and now - max(began + FIRST_WORD_S - 1, self._told) >= 1
        ):
            self._told = now
            self.progress(self.answered, self.asked, (now - began) / done * (of - done))
