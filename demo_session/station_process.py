"""A station as a process of its own, driven by control lines as its person would drive it by hand."""

from __future__ import annotations

import contextlib
import json
import os
import queue
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path
from typing import Any

import msgspec

from crewlink.acts import AnyCommand
from crewlink.control import Look
from crewlink.match.ruling import Decision
from crewlink.station import Answer
from crewlink.wire import to_wire
from protocol.roster import Member

ANSWER_S, START_S = 20.0, 60.0
"""So long a process may take for an answer; for the first one, while it starts."""


class StationGone(Exception):
    """The process ended, or does not answer; the text says which, and what it said last."""


class StationProcess:
    """`crewlink station FOLDER --control` and its two pipes; with `window`, `crewlink face FOLDER
    --control`.
    """

    def __init__(self, post: str, folder: Path, options: tuple[str, ...] = (), window: bool = False) -> None:
        self.post = post
        self.folder = folder
        self.window = window
        self._options = options
        self._changed = threading.Event()
        self._answers: queue.SimpleQueue[dict[str, Any]] = queue.SimpleQueue()
        self._number = 0
        self._lock = threading.Lock()
        self._complaints: list[str] = []
        self.start()

    def start(self) -> None:
        """Start the process (again)."""
        self._answered = False
        program = ["ui", "face"] if self.window else ["crewlink", "station"]
        command = [sys.executable, "-m", *program, str(self.folder), "--control", *self._options]
        self.process = subprocess.Popen(
            command,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            env={**os.environ, "PYTHONUNBUFFERED": "1"},
        )
        self._readers = [
            threading.Thread(target=work, args=(self.process,), daemon=True)
            for work in (self._read, self._complain)
        ]
        for reader in self._readers:
            reader.start()

    def kill(self) -> None:
        """End it at once, as a pulled plug does (SIGKILL)."""
        self.process.kill()
        self._bury()

    def freeze(self) -> None:
        """Stand still (SIGSTOP): it hears and says nothing, as a device out of reach."""
        self.process.send_signal(signal.SIGSTOP)

    def thaw(self) -> None:
        """Go on (SIGCONT)."""
        self.process.send_signal(signal.SIGCONT)

    def submit(self, command: AnyCommand) -> Answer:
        """Let the person at this station do something."""
        return msgspec.convert(self._ask({"do": to_wire(command)})["answer"], Answer)

    def ask(self, command: AnyCommand) -> Decision:
        """What the rules say to a command, without doing it."""
        return msgspec.convert(self._ask({"ask": to_wire(command)})["decision"], Decision)

    def look(self) -> Look:
        """What the person sees, and what the station holds."""
        return msgspec.convert(self._ask({"look": True})["look"], Look, strict=False)

    def picture(self, path: Path) -> None:
        """Have a picture of the window written as PNG."""
        path.parent.mkdir(parents=True, exist_ok=True)
        self._ask({"picture": str(path)})

    def key(self, name: str) -> None:
        """Press and release a key in the window."""
        self._ask({"key": name})

    def tap(self, name: str) -> None:
        """Tap the item of that object name."""
        self._ask({"tap": name})

    def record(self, path: Path) -> None:
        """Have the record written as JSON."""
        self._ask({"record": str(path)})

    def admit(self, guest: Member, into: Path) -> None:
        """Let a device in, and have its invitation written."""
        keys = {name: getattr(guest, name).hex() for name in ("device", "sign_key", "tls_cert", "binding")}
        self._ask({"admit": keys, "post": guest.post, "into": str(into)})

    def wait_change(self, seconds: float) -> None:
        """Wait until the station changed, or so long."""
        self._changed.wait(seconds)
        self._changed.clear()

    def stop(self) -> None:
        """Ask it to end; a process that does not is killed."""
        try:
            if self.process.poll() is None:
                self.thaw()
                self._ask({"stop": True})
                self.process.wait(ANSWER_S)
        except (StationGone, subprocess.TimeoutExpired):
            self.process.kill()
        self._bury()

    def _bury(self) -> None:
        """Wait for the end and close the pipes, once their readers have read all."""
        self.process.wait()
        for reader in self._readers:
            reader.join(ANSWER_S)
        for pipe in (self.process.stdin, self.process.stdout, self.process.stderr):
            if pipe is not None:
                with contextlib.suppress(BrokenPipeError):
                    pipe.close()

    def _ask(self, line: dict[str, Any]) -> dict[str, Any]:
        with self._lock:
            self._number += 1
            try:
                assert self.process.stdin is not None
                self.process.stdin.write(json.dumps({"id": self._number, **line}) + "\n")
                self.process.stdin.flush()
            except (BrokenPipeError, OSError) as error:
                raise StationGone(self._last_words()) from error
            until = time.monotonic() + (ANSWER_S if self._answered else START_S)
            while time.monotonic() < until:
                try:
                    answer = self._answers.get(timeout=0.2)
                except queue.Empty:
                    if self.process.poll() is not None:
                        raise StationGone(self._last_words()) from None
                    continue
                if answer.get("id") != self._number:
                    continue
                self._answered = True
                if "error" in answer:
                    raise StationGone(f"{self.post}: {answer['error']}")
                return answer
            raise StationGone(f"{self.post} does not answer. {self._last_words()}")

    def _read(self, process: subprocess.Popen[str]) -> None:
        assert process.stdout is not None
        for line in process.stdout:
            try:
                told = json.loads(line)
            except json.JSONDecodeError:
                self._complaints.append(line.strip())
                continue
            if "changed" in told:
                self._changed.set()
            else:
                self._answers.put(told)
        self._changed.set()

    def _complain(self, process: subprocess.Popen[str]) -> None:
        assert process.stderr is not None
        for line in process.stderr:
            self._complaints.append(line.rstrip())

    def _last_words(self) -> str:
        words = " / ".join(self._complaints[-5:])
        return f"{self.post} ended. {words}" if self.process.poll() is not None else words
