"""A real cluster of two worker processes on this machine, one of them killed midway.

**Source:** the answers in line are the reference.
"""

import os
import signal
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import distributed
import pytest

from raworder.studies.asking import Ask, Task
from raworder.studies.engines import Cluster, ClusterLostError, NoClusterError
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


def test_a_cluster_gives_the_answers_of_the_line_byte_for_byte(scheduler: str, tmp_path: Path) -> None:
    tasks = q.order_tasks(6, 0, tmp_path)
    ask = Ask(engine=Cluster(scheduler))
    found = ask(tasks)
    ask.close()
    assert repr(found) == repr(Ask()(tasks))
    assert list(found) == [task.key for task in tasks]


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


def test_a_question_that_ends_every_worker_is_told_as_a_cluster_that_was_lost(scheduler: str) -> None:
    ask = Ask(engine=Cluster(scheduler))
    with pytest.raises(ClusterLostError, match="a question ended every worker"):
        ask([Task("deadly", q.always_deadly, ())])
    ask.close()


def _kill_when_at_work(victim: int, attempts: Path) -> None:
    """Kill the worker a moment after it began on its second question."""
    for _ in range(1200):
        if attempts.exists() and attempts.read_text().count(f"{victim} ") >= 2:
            break
        time.sleep(0.05)
    os.kill(victim, signal.SIGKILL)
