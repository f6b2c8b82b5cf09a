"""A command that is watched while it runs: what it says and when, and what it costs."""
import os
import subprocess
import threading
import time
from programs import BUILD


class Running:
    def __init__(self, *arguments):
        self.process = subprocess.Popen([BUILD / "bin" / "quaycell", *map(str, arguments)],
                                        stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
                                        stderr=subprocess.PIPE, text=True)
        self.said = []  # (when, line) of standard error
        self.stdout = ""
        self.usage = None
        self.listeners = [threading.Thread(target=self.listen), threading.Thread(target=self.take)]
        for listener in self.listeners:
            listener.start()

    def listen(self):
        for line in self.process.stderr:
            self.said.append((time.monotonic(), line.rstrip("\n")))

    def take(self):
        self.stdout = self.process.stdout.read()

    def poll(self):
        """The exit code once it has ended, as Popen.poll(); keeps what it has cost."""
        if self.usage is None:
            number, status, usage = os.wait4(self.process.pid, os.WNOHANG)
            if number == 0:
                return None
            self.usage = usage
            self.process.returncode = os.waitstatus_to_exitcode(status)
            for listener in self.listeners:
                listener.join()
            self.process.stdout.close()
            self.process.stderr.close()
        return self.process.returncode

    def wait(self, longest_s=120):
        deadline = time.monotonic() + longest_s
        while self.poll() is None:
            if time.monotonic() > deadline:
                self.process.kill()
                raise AssertionError(f"still running after {longest_s} s: {self.said}")
            time.sleep(0.01)
        return self.process.returncode

    def lines_with(self, words):
        return [(when, line) for when, line in self.said if words in line]

    @property
    def cpu_s(self):
        return self.usage.ru_utime + self.usage.ru_stime

    @property
    def memory_mb(self):
        return self.usage.ru_maxrss / 1024
