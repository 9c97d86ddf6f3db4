"""A process that writes into an archive; started by test_two_processes.

python writing_process.py FILE NAME COUNT [KEY]: records COUNT batches and writes a line for
each when its receipt is there: number of its last entry and seal. Without end where COUNT
is 0. With KEY every batch corrects that one record, again where somebody else was first.
"""

import itertools
import os
import sys

from small_archive import HOME, change_of, correct, fold, state

from vestige.graph.errors import Conflict
from vestige.graph.ledger import Act
from vestige.graph.store import SqliteStore


def main(path: str, name: str, count: int, key: str = "") -> None:
    with SqliteStore(path, change_of=change_of, home_words=HOME, fold=fold) as store:
        os.write(1, b"ready\n")
        for i in itertools.count() if count == 0 else range(count):
            while True:
                act: Act = state(f"{name}-{i}", text="fine cracks along the edge")
                if key:
                    act = correct(store, key, text=f"{name}-{i}")
                try:
                    receipt = store.append(name, [act], batch=f"{name}-{i}")
                    break
                except Conflict:
                    pass
            os.write(1, f"{receipt.last} {receipt.seal.hex()}\n".encode())


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], int(sys.argv[3]), *sys.argv[4:])
