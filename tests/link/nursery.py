"""Starts station processes fast: one clean parent that has loaded the modules makes each by a fork.

Still a process of its own each: own sockets, own files, ended by a real signal. The parent holds nothing but
loaded modules, runs no thread and no loop, so a station begins like one that was started from nothing. Ask
only from one thread. POSIX only.
"""

from __future__ import annotations

import json
import os
import signal
import socket
import subprocess
import sys
import threading
from pathlib import Path
from typing import IO, Any

from tests.link import station_process

ROOT = Path(__file__).resolve().parents[2]


class Born:
    """One forked station, with the part of `subprocess.Popen` that the tests use."""

    def __init__(self, nursery: Nursery, pid: int, stdin: IO[str], stdout: IO[str]) -> None:
        self.pid = pid
        self.stdin = stdin
        self.stdout = stdout
        self.returncode: int | None = None
        self._nursery = nursery

    def kill(self) -> None:
        if self.returncode is None:  # not reaped yet, so the number is still its own
            os.kill(self.pid, signal.SIGKILL)

    def poll(self) -> int | None:
        if self.returncode is None:
            self.returncode = self._nursery.ask({"poll": self.pid})
        return self.returncode

    def wait(self, timeout: float | None = None) -> int:
        """Until it has ended and all that it held is free again."""
        if self.returncode is None:
            self.returncode = self._nursery.ask({"wait": self.pid})
        assert self.returncode is not None
        return self.returncode


class Nursery:
    """The parent process; entered and left like a file."""

    def __init__(self) -> None:
        ours, theirs = socket.socketpair()
        self._line = ours
        self._reader = ours.makefile("r", encoding="utf-8")
        self._one_at_a_time = threading.Lock()
        with theirs:
            self._parent = subprocess.Popen(
                [sys.executable, "-m", "tests.link.nursery", str(theirs.fileno())],
                cwd=ROOT,
                pass_fds=[theirs.fileno()],
                stdin=subprocess.DEVNULL,
            )

    def __enter__(self) -> Nursery:
        return self

    def __exit__(self, *_: object) -> None:
        self._reader.close()
        self._line.close()
        self._parent.wait()

    def start(self, *options: str) -> Born:
        """A new station with these options of `station_process`."""
        its_in, our_out = os.pipe()
        our_in, its_out = os.pipe()
        pid = self.ask({"start": options}, its_in, its_out)
        os.close(its_in)
        os.close(its_out)
        return Born(self, pid, os.fdopen(our_out, "w"), os.fdopen(our_in))

    def ask(self, asked: dict[str, Any], *handles: int) -> Any:
        with self._one_at_a_time:
            socket.send_fds(self._line, [(json.dumps(asked) + "\n").encode()], handles)
            answer = self._reader.readline()
        assert answer, "the parent of the stations is gone"
        return json.loads(answer)


def serve(line: socket.socket) -> None:
    """Fork and reap until the other end closes; one question at a time, so each comes whole."""
    while True:
        asked, handles, _, _ = socket.recv_fds(line, 65536, 2)
        if not asked:
            return
        wish = json.loads(asked)
        if "start" in wish:
            answer: int | None = fork(line, wish["start"], handles)
            for handle in handles:
                os.close(handle)
        else:
            answer = reap(**wish)
        line.sendall((json.dumps(answer) + "\n").encode())


def reap(wait: int | None = None, poll: int | None = None) -> int | None:
    """The exit code of a child as `subprocess` tells it; None while it runs."""
    pid = wait or poll
    assert pid is not None
    ended, status = os.waitpid(pid, 0 if wait else os.WNOHANG)
    return os.waitstatus_to_exitcode(status) if ended else None


def fork(line: socket.socket, options: list[str], handles: list[int]) -> int:
    """A child that is a station from here on; its number."""
    pid = os.fork()
    if pid:
        return pid
    code = 1
    try:
        line.close()
        os.dup2(handles[0], 0)
        os.dup2(handles[1], 1)
        for handle in handles:
            os.close(handle)
        sys.stdin = os.fdopen(0, closefd=False)
        station_process.main(options)
        code = 0
    except BaseException:
        sys.excepthook(*sys.exc_info())
    finally:
        os._exit(code)


if __name__ == "__main__":
    with socket.socket(fileno=int(sys.argv[1])) as here:
        serve(here)
