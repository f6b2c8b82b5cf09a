"""A terminal window of some size in which a command runs, seen as a person sees it (Debian: python3-pyte)."""
import fcntl
import os
import pty
import select
import struct
import subprocess
import termios
import time
import pyte
from programs import BUILD


class Window:
    def __init__(self, columns, rows, *arguments, **environment):
        self.screen = pyte.Screen(columns, rows)
        self.stream = pyte.ByteStream(self.screen)
        self.bytes = b""
        self.own, self.theirs = pty.openpty()
        self.resize_tty(columns, rows)
        self.before = termios.tcgetattr(self.theirs)
        self.process = subprocess.Popen(
            [BUILD / "bin" / "quaycell", *map(str, arguments)], stdin=self.theirs, stdout=self.theirs,
            stderr=self.theirs, start_new_session=True,
            preexec_fn=lambda: fcntl.ioctl(0, termios.TIOCSCTTY, 0),
            env={**os.environ, "TERM": "xterm", "LANG": "C.UTF-8", **environment})

    def resize_tty(self, columns, rows):
        fcntl.ioctl(self.theirs, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))

    def resize(self, columns, rows):
        self.resize_tty(columns, rows)
        self.screen.resize(rows, columns)

    def look(self, seconds=0.05):
        """Takes what is written within that time."""
        until = time.monotonic() + seconds
        while (left := until - time.monotonic()) > 0:
            if not select.select([self.own], [], [], left)[0]:
                break
            try:
                data = os.read(self.own, 65536)
            except OSError:  # nobody has the window open any more
                break
            self.bytes += data
            self.stream.feed(data)

    @property
    def lines(self):
        return [line.rstrip() for line in self.screen.display]

    @property
    def text(self):
        """All of the screen as one line."""
        return " ".join(" ".join(self.lines).split())

    def wait_for(self, words, seconds=90):
        until = time.monotonic() + seconds
        while words not in self.text:
            assert time.monotonic() < until, f"no {words!r} in:\n" + "\n".join(self.lines)
            assert self.process.poll() is None, f"it has ended:\n" + "\n".join(self.lines)
            self.look()

    def wait_until_gone(self, words, seconds=90):
        until = time.monotonic() + seconds
        while words in self.text:
            assert time.monotonic() < until, f"still {words!r} in:\n" + "\n".join(self.lines)
            self.look()

    def press(self, keys):
        os.write(self.own, keys.encode())

    def end(self, seconds=90):
        """Its exit code."""
        until = time.monotonic() + seconds
        while self.process.poll() is None:
            assert time.monotonic() < until, "still running:\n" + "\n".join(self.lines)
            self.look()
        self.look(0.2)
        return self.process.returncode

    def is_given_back(self):
        """Whether the window is as it was: its own screen, the cursor, keys that are shown and wait for
        Enter."""
        taken, back = self.bytes.rfind(b"\033[?1049h"), self.bytes.rfind(b"\033[?1049l")
        cursor = self.bytes.rfind(b"\033[?25h")
        return 0 <= taken < back and cursor > taken and termios.tcgetattr(self.theirs) == self.before

    def close(self):
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait()
        os.close(self.own)
        os.close(self.theirs)
