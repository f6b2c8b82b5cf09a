"""The built programs, as the end-to-end tests run them. QUAYCELL_BUILD names the build folder if it
is not build/."""
import json
import os
import subprocess
import tempfile
import unittest
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
BUILD = Path(os.environ.get("QUAYCELL_BUILD", ROOT / "build"))
SCENARIOS = ROOT / "firmware" / "bench" / "scenarios"


def quaycell(*arguments, env=None, typed=""):
    return subprocess.run([BUILD / "bin" / "quaycell", *map(str, arguments)], capture_output=True,
                          text=True, input=typed, timeout=300, env=env)


class Bench:
    """The simulated logger, on a port of its own in `folder`."""

    def __init__(self, folder, scenario, *options):
        self.port = Path(folder) / "logger"
        self.process = subprocess.Popen(
            [BUILD / "bin" / "quaycell-bench", "--scenario", SCENARIOS / scenario, "--port",
             self.port, *map(str, options)],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        ready = self.process.stdout.readline()
        assert ready.startswith("ready"), f"the bench did not start: {ready!r}"

    def tell(self, command):
        self.process.stdin.write(command + "\n")
        self.process.stdin.flush()
        answer = self.process.stdout.readline().strip()
        assert answer and not answer.startswith("error"), f"{command}: {answer!r}"
        return answer

    def close(self):
        """Ends the bench; its exit code says whether the hardware would have forgiven everything."""
        if self.process.poll() is None:
            self.tell("quit")
        return self.process.wait(timeout=30)

    def end(self):
        # First its port's name: the next terminal that anybody opens may get the number that it stands for,
        # and who waits for this logger would find another test's.
        self.port.unlink(missing_ok=True)
        self.process.kill()
        self.process.communicate()


class EndToEnd(unittest.TestCase):
    """Runs commands in a folder of its own that is removed afterwards."""

    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = Path(folder.name)

    def start_bench(self, scenario, *options):
        bench = Bench(self.folder, scenario, *options)
        self.addCleanup(bench.end)
        return bench

    def done(self, *arguments):
        """Standard output of a command that has to succeed."""
        result = quaycell(*arguments)
        self.assertEqual(result.returncode, 0, f"{arguments}: {result.stderr}")
        return result.stdout

    def document(self, *arguments):
        return json.loads(self.done(*arguments, "--json"))

    def refused(self, code, *arguments, says):
        """A command that has to fail: exit code, nothing on standard output, cause and remedy."""
        result = quaycell(*arguments)
        self.assertEqual(result.returncode, code, f"{arguments}: {result.stderr}")
        self.assertEqual(result.stdout, "", arguments)
        for words in says:
            self.assertIn(words, result.stderr, arguments)
        return result.stderr
