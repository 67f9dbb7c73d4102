"""The same partitions on a Dask cluster: the same end, also when a worker is killed half way."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from reader.catalogue.reading import open_catalogue
from reader.house.specification import from_yaml, ready
from reader.screening import run
from reader.screening.cluster import on_cluster
from reader.screening.run import screen
from reader.screening.values import Progress
from tests.screening.lists import write_list

distributed = pytest.importorskip("distributed")
ROWS = 96
# The cluster's own threads warn of slow machines and of what they close last.
pytestmark = [
    pytest.mark.filterwarnings("ignore::DeprecationWarning"),
    pytest.mark.filterwarnings("ignore::UserWarning:distributed"),
]


@pytest.fixture(scope="module")
def client() -> Iterator[Any]:
    with (
        distributed.LocalCluster(n_workers=2, threads_per_worker=1, processes=True, dashboard_address=":0") as cluster,
        distributed.Client(cluster) as found,
    ):
        yield found


def test_a_cluster_comes_to_the_same_with_a_worker_killed(
    client: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(run, "_LARGE_PARTITION", 2)
    listed = open_catalogue([write_list(tmp_path / "list.csv", ROWS)])
    house = from_yaml(next(iter(ready().values())))
    here = screen(listed, house, journal=tmp_path / "here", depth="order")
    killed: list[int] = []

    def tell(progress: Progress) -> None:
        if progress.done >= ROWS // 3 and not killed:
            killed.append(next(iter(client.run(os.getpid).values())))
            os.kill(killed[0], signal.SIGKILL)

    there = screen(listed, house, journal=tmp_path / "there", depth="order", tell=tell, runner=on_cluster(client))
    assert killed, "the worker was to be killed half way"
    assert there.finished
    assert list(there.by_standing()) == list(here.by_standing())
    assert there.counts == here.counts
