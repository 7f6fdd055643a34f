"""Asking: many questions that do not depend on one another, answered in line, by a pool of processes, or by a cluster.

The answers are the same whoever works them out, and come back by key.
"""

from collections.abc import Callable, Sequence
from concurrent.futures import BrokenExecutor, Executor, Future, as_completed
from dataclasses import dataclass, field
from time import monotonic
from typing import Any, Generic, TypeVar

from raworder.solving.solver import FIRST_WORD_S, Settings
from raworder.studies.engines import InLine, Pool

Answered = TypeVar("Answered")

POOL_IS_WORTH_S = 2.0
"""Seconds of work left from which a pool pays: its processes take most of a second to start."""

MOST_DEATHS = 3
"""So many times the questions of workers that died are asked again."""

Progress = Callable[[int, int, float], None]
"""Told now and then: how many questions are answered, of how many, and about how many seconds are left."""


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

    After an interrupt `interrupted` is set and nothing more is answered: a study then tells what it has.
    """

    settings: Settings = Settings()  # noqa: RUF009 - it is frozen
    engine: Executor | None = None
    workers: int = 1
    progress: Progress | None = None
    interrupted: bool = False
    asked: int = 0
    answered: int = 0
    _began: float = field(default_factory=monotonic)

    def __call__(self, tasks: Sequence[Task[Answered]]) -> dict[str, Answered]:
        """The answers by key, in the order of the tasks; some are missing only after an interrupt."""
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
        """Answer in line while that is quick, the rest by the engine."""
        began = monotonic()
        for done, task in enumerate(tasks):
            if self.engine is not None or _is_long(monotonic() - began, done, len(tasks), self.workers):
                break
            self._note(found, task, InLine().submit(task.run, *task.given))
        rest = [task for task in tasks if task.key not in found]
        for _ in range(MOST_DEATHS):
            if rest:
                self._by_engine(rest, found)
            rest = [task for task in tasks if task.key not in found]
        if rest:
            raise RuntimeError(f"workers died {MOST_DEATHS} times; {len(rest)} of {len(tasks)} questions are open")

    def _by_engine(self, tasks: Sequence[Task[Answered]], found: dict[str, Answered]) -> None:
        """Answer by the engine; where a worker dies and takes the pool with it, the rest is left for a new one."""
        if self.engine is None:
            self.engine = Pool(self.workers)
        try:
            of = {self.engine.submit(task.run, *task.given): task for task in tasks}
            for future in as_completed(of):
                self._note(found, of[future], future)
        except BrokenExecutor:
            self.close()

    def _note(self, found: dict[str, Answered], task: Task[Answered], future: "Future[Answered]") -> None:
        """Keep an answer, and tell how it goes."""
        found[task.key] = future.result()
        self.answered += 1
        so_far_s = monotonic() - self._began
        if self.progress and so_far_s >= FIRST_WORD_S and self.answered < self.asked:
            self.progress(self.answered, self.asked, so_far_s / self.answered * (self.asked - self.answered))


def _is_long(so_far_s: float, done: int, of: int, workers: int) -> bool:
    """Whether what is left takes so long that a pool is worth its start."""
    return workers > 1 and 0 < done < of - 1 and so_far_s / done * (of - done) > POOL_IS_WORTH_S
