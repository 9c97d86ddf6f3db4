"""A process that writes to a server; started by test_neo4j_kills, which kills the server.

python graph_writing_process.py ADDRESS: records batches and writes a line for each when
its receipt is there: the batch's id, number and seal of its last entry. When the server
goes it tries the same batch again until it has a receipt.
"""

import itertools
import os
import sys
import time

from small_archive import HOME, change_of, fold, state

from vestige.graph.errors import ArchiveUnusable
from vestige.graph.store.neo4j_store import Neo4jStore


def main(address: str) -> None:
    store = Neo4jStore(address, change_of=change_of, home_words=HOME, fold=fold)
    os.write(1, b"ready\n")
    for i in itertools.count():
        while True:
            acts = [state(f"A{i}", text="fine cracks"), state(f"B{i}")]
            try:
                receipt = store.append("r", acts, batch=f"batch {i}")
                break
            except ArchiveUnusable as error:
                os.write(2, f"{error}\n".encode())
                time.sleep(0.5)
        os.write(1, f"{i} {receipt.last} {receipt.seal.hex()}\n".encode())


if __name__ == "__main__":
    main(sys.argv[1])
