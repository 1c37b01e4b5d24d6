"""How the suite is run: long tests first, few pauses to collect garbage, and what each file cost, told at the end."""

import gc
import resource
import signal
from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest

SLOWEST = 10
"""Files that are told at the end."""
OBJECTS = 100_000
"""New objects before garbage is looked for. Tests hold tens of thousands of cells, which it goes through each time."""
COST = pytest.StashKey[Counter[str]]()


def pytest_configure(config: pytest.Config) -> None:
    """A count of its own in each process, and interrupts that are heard."""
    config.stash[COST] = Counter()
    if signal.getsignal(signal.SIGINT) == signal.SIG_IGN:  # by a shell's background, and so by all that tests start
        signal.signal(signal.SIGINT, signal.default_int_handler)
    config.addinivalue_line("markers", "long: takes over ten seconds, so it is begun first and no worker waits for it")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Long tests are begun first: what is left at the end is short, and both workers end together."""
    items.sort(key=lambda item: item.get_closest_marker("long") is None)


def pytest_collection_finish() -> None:
    """What was loaded up to here stays, so nobody need look at it again."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(OBJECTS)


def seconds() -> float:
    """Time that this process and those it waited for took of the processor [s]."""
    both = resource.getrusage(resource.RUSAGE_SELF), resource.getrusage(resource.RUSAGE_CHILDREN)
    return sum(used.ru_utime + used.ru_stime for used in both)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Iterator[None]:
    """The cost of a test, set-up included; what tests share is paid by the one that asks first."""
    before = seconds()
    done = yield
    item.config.stash[COST].update({item.location[0]: seconds() - before})
    return done


def pytest_sessionfinish(session: pytest.Session) -> None:
    """A worker hands its count over."""
    cost, handed = session.config.stash[COST], getattr(session.config, "workeroutput", None)
    if handed is not None:
        handed["cost"] = dict(cost)


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: Any) -> None:
    """The count of a worker is added; one that died has none."""
    cost: Counter[str] = node.config.stash[COST]
    cost.update(getattr(node, "workeroutput", {}).get("cost", {}))


def pytest_terminal_summary(terminalreporter: Any, config: pytest.Config) -> None:
    """Which files cost most, of a run that took a while."""
    cost = config.stash[COST]
    if cost.total() < 60:
        return
    terminalreporter.write_sep("-", f"{cost.total():,.0f} s of the processor; most of it for")
    for file, taken in cost.most_common(SLOWEST):
        terminalreporter.write_line(f"{taken:8.1f} s  {file}")
