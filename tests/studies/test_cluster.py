"""A real cluster of two worker processes on this machine, one of them killed midway.

**Source:** the answers in line are the reference.
"""

import os
import signal
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future
from pathlib import Path

import distributed
import pytest

from raworder.solving.solver import Settings
from raworder.studies import asking
from raworder.studies.asking import Ask, Cluster, ClusterLostError, NoClusterError, Pulse, Task
from tests.studies import questions as q

pytestmark = pytest.mark.filterwarnings("default")  # the library's own warnings are not ours


@pytest.fixture(scope="module")
def scheduler() -> Iterator[str]:
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=":0", host="127.0.0.1"
    ) as local:
        yield local.scheduler_address


def worker_pids(address: str) -> list[int]:
    with distributed.Client(address, set_as_default=False) as client:
        return sorted(client.run(os.getpid).values())


@pytest.mark.slow
def test_a_cluster_gives_the_answers_of_the_line_byte_for_byte(scheduler: str, tmp_path: Path) -> None:
    tasks = q.order_tasks(6, 0, tmp_path)
    ask = Ask(engine=Cluster(scheduler))
    found = ask(tasks)
    ask.close()
    assert repr(found) == repr(Ask()(tasks))
    assert list(found) == [task.key for task in tasks]


@pytest.mark.slow
def test_a_worker_that_is_killed_midway_loses_nothing_and_counts_nothing_twice(scheduler: str, tmp_path: Path) -> None:
    tasks = q.order_tasks(12, 0.5, tmp_path)
    victim = worker_pids(scheduler)[0]
    killer = threading.Thread(target=_kill_when_at_work, args=(victim, tmp_path / "attempts"))
    killer.start()
    ask = Ask(engine=Cluster(scheduler))
    found = ask(tasks)
    killer.join()
    ask.close()
    attempts = (tmp_path / "attempts").read_text().splitlines()
    assert any(line.startswith(f"{victim} ") for line in attempts), "the worker that was killed had been at work"
    assert len(attempts) > len(tasks), "what it was at was worked out again"
    assert ask.answered == ask.asked == len(found) == 12
    assert repr(found) == repr(Ask()(tasks))


def test_a_scheduler_without_workers_is_told_and_not_waited_for() -> None:
    with (
        distributed.LocalCluster(n_workers=0, dashboard_address=":0", host="127.0.0.1") as local,
        pytest.raises(NoClusterError, match="has no worker"),
    ):
        Cluster(local.scheduler_address, patience_s=1)


@pytest.mark.slow
def test_a_question_that_ends_every_worker_is_told_as_a_cluster_that_was_lost(scheduler: str) -> None:
    ask = Ask(engine=Cluster(scheduler))
    with pytest.raises(ClusterLostError, match="a question ended every worker"):
        ask([Task("deadly", q.always_deadly, ())])
    ask.close()


def test_it_is_seen_whether_any_worker_is_alive() -> None:
    with distributed.LocalCluster(
        n_workers=1, threads_per_worker=1, processes=False, protocol="tcp://", dashboard_address=":0"
    ) as local:
        cluster = Cluster(local.scheduler_address)
        first = cluster.pulse()
        assert len(first) == 1
        assert until(lambda: bool(cluster.pulse() - first)), "a living worker is heard of again and again"
        local.scale(0)
        assert until(lambda: cluster.pulse() == frozenset())
        cluster.shutdown(wait=False)


def until(happens: Callable[[], bool]) -> bool:
    """Whether something happens within some seconds."""
    for _ in range(200):
        if happens():
            return True
        time.sleep(0.05)
    return False


class Deaf(Cluster):
    """A cluster whose workers are heard of as a script says, and never answer; after its end, never again."""

    def __init__(self, pulses: Sequence[Pulse]) -> None:
        self.pulses = list(pulses)

    def submit(self, *_: object, **__: object) -> Future[int]:  # type: ignore[override]  # it takes anything
        return Future()

    def pulse(self) -> Pulse:
        return self.pulses.pop(0) if self.pulses else frozenset()

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """There is nothing to end."""


@pytest.mark.slow
@pytest.mark.parametrize(("limit_s", "ends_s"), [(60.0, 60), (2.0, 6), (None, 600)])
@pytest.mark.parametrize("gone", [[], [frozenset({("a", 1.0)})] * 1000], ids=["no worker", "never heard of again"])
def test_workers_that_are_all_dead_are_told_within_ten_seconds_and_waited_for_until_the_time_limit(
    gone: list[Pulse], limit_s: float | None, ends_s: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(asking, "LOOK_EVERY_S", 0.001)
    told: list[tuple[float, str]] = []
    clock = Clock()
    alive = [frozenset({("a", float(beat))}) for beat in range(-30, 0)]
    ask = Ask(Settings(time_limit_s=limit_s), Deaf([*alive, *gone]), warn=lambda text: told.append((clock.now, text)))
    ask.clock = clock
    with pytest.raises(ClusterLostError, match="no worker of the cluster has answered for"):
        ask([Task("one", q.square, (1,))])
    beside = 1 if gone else 0  # the last sign of life is the first of those that stay the same
    assert clock.now == 30 + beside + ends_s
    if ends_s > 6:
        ((second, text),) = told
        assert second - 30 - beside <= 10
        assert text == "no worker of the cluster answers; waiting for one, 0 of 1 are answered\n"


class Clock:
    """A clock that goes on by a second each time it is looked at."""

    now = -1

    def __call__(self) -> float:
        self.now += 1
        return self.now


def _kill_when_at_work(victim: int, attempts: Path) -> None:
    """Kill the worker a moment after it began on its second question."""
    for _ in range(1200):
        if attempts.exists() and attempts.read_text().count(f"{victim} ") >= 2:
            break
        time.sleep(0.05)
    os.kill(victim, signal.SIGKILL)
