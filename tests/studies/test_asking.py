"""Asking: the same answers whoever works them out, nothing lost and nothing counted twice.

**Source:** the house's own rules; the answers in line are the reference.
"""

import os
import signal
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from raworder.studies.asking import Ask, Cluster, InLine, NoClusterError, Pool, Task
from tests.studies import questions as q


def squares(count: int) -> list[Task[int]]:
    return [Task(str(number), q.square, (number,)) for number in range(count)]


@pytest.fixture
def pool() -> Iterator[Ask]:
    ask = Ask(engine=Pool(2), workers=2)
    yield ask
    ask.close()


def test_answers_come_back_by_key_in_the_order_of_the_questions() -> None:
    assert Ask()(squares(5)) == {"0": 0, "1": 1, "2": 4, "3": 9, "4": 16}


@pytest.mark.slow
def test_a_pool_gives_the_answers_of_the_line_byte_for_byte(pool: Ask, tmp_path: Path) -> None:
    tasks = q.order_tasks(6, 0, tmp_path)
    assert repr(pool(tasks)) == repr(Ask()(tasks))


@pytest.mark.slow
def test_a_few_quick_questions_start_no_pool() -> None:
    ask = Ask(workers=2)
    ask(squares(50))
    assert ask.engine is None


@pytest.mark.slow
def test_many_slow_questions_go_to_a_pool_after_the_first(tmp_path: Path) -> None:
    ask = Ask(workers=2)
    found = ask(q.order_tasks(8, 0.4, tmp_path))
    workers = {line.split()[0] for line in (tmp_path / "attempts").read_text().splitlines()}
    ask.close()
    assert len(found) == 8
    assert len(workers) >= 2
    assert str(os.getpid()) in workers


@pytest.mark.slow
def test_after_a_slow_question_many_go_to_a_pool_at_once(tmp_path: Path) -> None:
    ask = Ask(workers=2)
    ask(q.order_tasks(1, 1.5, tmp_path))
    (tmp_path / "attempts").unlink()
    ask(q.order_tasks(2, 0, tmp_path))
    ask.close()
    assert str(os.getpid()) not in {line.split()[0] for line in (tmp_path / "attempts").read_text().splitlines()}


@pytest.mark.slow
def test_a_question_whose_worker_dies_is_asked_again_and_counted_once(pool: Ask, tmp_path: Path) -> None:
    tasks = [Task("deadly", q.deadly, (str(tmp_path / "once"),)), *squares(20)]
    found = pool(tasks)
    assert found["deadly"] == "survived"
    assert [found[str(number)] for number in range(20)] == [number**2 for number in range(20)]
    assert pool.answered == pool.asked == 21


@pytest.mark.slow
def test_a_question_that_kills_every_worker_ends_with_a_word_about_it(pool: Ask) -> None:
    with pytest.raises(RuntimeError, match="workers died 3 times; 1 of 1 questions are open"):
        pool([Task("deadly", q.always_deadly, ())])


@pytest.mark.slow
def test_a_mistake_in_a_question_comes_back_as_it_is(pool: Ask) -> None:
    with pytest.raises(ZeroDivisionError):
        pool([Task("wrong", divmod, (1, 0))])


def test_after_an_interrupt_what_is_done_is_there_and_nothing_more_is_asked() -> None:
    ask = Ask()
    assert ask([Task(str(number), q.interrupt, (number,)) for number in range(5)]) == {"0": 0, "1": 1}
    assert ask.interrupted
    assert ask(squares(3)) == {}
    assert (ask.answered, ask.asked) == (2, 5)


@pytest.mark.slow
def test_an_interrupted_pool_ends_at_once(tmp_path: Path) -> None:
    ask = Ask(engine=Pool(2), workers=2)
    tired = threading.Thread(target=interrupt_when_at_work, args=(tmp_path / "attempts", ask))
    tired.start()
    began = time.monotonic()
    found = ask([*squares(2), *q.order_tasks(4, 60, tmp_path)])
    tired.join()
    assert ask.interrupted
    assert set(found) == {"0", "1"}
    assert time.monotonic() - began < 50


def interrupt_when_at_work(attempts: Path, ask: Ask) -> None:
    """Press Ctrl-C a moment after a worker began on a question that takes long; again where Python dropped it.

    An interrupt that comes while Python tidies up an object is only printed, so now and then one is lost.
    """
    while not attempts.exists():
        time.sleep(0.05)
    time.sleep(1)
    while not ask.interrupted:
        os.kill(os.getpid(), signal.SIGINT)
        time.sleep(5)


def test_progress_is_told_only_of_what_takes_long(tmp_path: Path) -> None:
    told: list[tuple[int, int, float]] = []
    ask = Ask(progress=lambda *how: told.append(how))
    ask(squares(4))
    assert told == []
    ask(q.order_tasks(3, 1.1, tmp_path))
    assert told
    assert all(done < of == 7 and left_s > 0 for done, of, left_s in told)


def test_two_questions_of_one_key_are_our_own_mistake() -> None:
    with pytest.raises(ValueError, match="same key"):
        Ask()([*squares(2), *squares(1)])


def test_in_line_works_where_it_is_asked() -> None:
    assert InLine().submit(os.getpid).result() == os.getpid()


def test_no_scheduler_is_told_in_one_line() -> None:
    with pytest.raises(NoClusterError, match=r"no scheduler answers at `tcp://127\.0\.0\.1:9`"):
        Cluster("tcp://127.0.0.1:9", patience_s=1)
