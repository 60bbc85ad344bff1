"""A move of the slider says another sum, which is read at once; all else is for a worker."""

from dataclasses import replace

import pytest
from alone import run_alone

from kitsolver import BadInput
from kitsolver.page import tasks
from kitsolver.page.address import Address
from kitsolver.page.catalogue_store import CatalogueStore
from kitsolver.page.service import Service

ASKED = Address({"currency": "EUR", "cap": "30.00", "title": "Gulls"})


def saying(**settings):
    return replace(ASKED, settings={**ASKED.settings, **settings})


@pytest.fixture
def read(tmp_path, monkeypatch):
    """Give what reads briefs one after the other, and says which of them a worker read."""
    # However busy the machine is, they are read in no time.
    monkeypatch.setattr("kitsolver.page.service._QUICK", 600)

    def give(*addresses):
        service = Service(CatalogueStore("shop.csv", b"sku\n", tmp_path), Address({}))
        by_worker, found = [], []

        async def worker(task, address):
            by_worker.append(address)
            return task(address)

        async def run():
            for address in addresses:
                try:
                    found.append(await service.brief(address))
                except BadInput as fault:
                    found.append(fault.findings)

        service.read = worker
        run_alone(run())
        service.pool.stop()
        return found, by_worker

    return give


def test_another_sum_is_read_at_once_and_means_the_same(read):
    moves = [saying(cap=cap) for cap in ("31.00", "0044.5", "31.005")]
    found, by_worker = read(ASKED, *moves)
    assert by_worker == [ASKED]
    *sound, too_fine = found
    assert sound == [tasks.brief_of_address(address) for address in (ASKED, *moves[:-1])]
    with pytest.raises(BadInput) as fault:
        tasks.brief_of_address(moves[-1])
    assert too_fine == fault.value.findings


@pytest.mark.parametrize("other", [saying(title="Terns"), saying(cap="1e9"), saying(cap="[" * 99)])
def test_anything_else_is_for_a_worker(read, other):
    assert read(ASKED, other)[1] == [ASKED, other]
