"""One case: a logger with readings, a cable with faults, `quaycell collect`, and what the archive holds
afterwards."""
import json
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "end_to_end"))
from programs import BUILD, Bench, quaycell  # noqa: E402

from cases import ByRate, KINDS, held_speed, moments  # noqa: E402
from evidence import FlashImage, Held, faults_of, lacks  # noqa: E402
from line import Line  # noqa: E402

SCENARIO = "quiet-berth.toml"
READINGS_FOR = "200min"  # at one per 10 s: enough to be worth a faster line, and some more
LONGEST_S = 1800  # for a collection: only a hang takes that long, even on a machine with other work
MOST_WORDS = 20_000  # bytes on standard error: a bad line is no reason to flood a log


def make_log(file):
    """The flash of a logger that has recorded for some hours and is recording still."""
    with tempfile.TemporaryDirectory() as folder:
        bench = Bench(folder, SCENARIO)
        armed = quaycell("deploy", "--port", bench.port, "--interval", "10s", "--clock",
                         "2026-05-04T06:00:00Z")
        assert armed.returncode == 0, armed.stderr
        bench.tell(f"advance {READINGS_FOR}")
        bench.tell(f"save {file}")
        bench.close()
    return FlashImage(file)


@dataclass
class Outcome:
    case: object
    faults: list = field(default_factory=list)
    finished: bool = False  # the collection under faults ended well by itself
    gaps: int = 0  # records that it reported as lost although the flash has them
    held: int = 0  # records after it
    baud: int = 0  # that it ended with, where it ended well
    seconds: float = 0.0  # that it took


class Collecting:
    def __init__(self, case, image_file):
        self.outcome = Outcome(case)
        self.case = case
        self.image_file = image_file

    def run(self):
        folder = tempfile.mkdtemp(prefix="quaycell-fault-")
        self.folder = Path(folder)
        try:
            self.bench = Bench(folder, SCENARIO, "--flash-image", self.image_file)
            try:
                self.under_faults_then_whole()
            finally:
                self.bench.end()
        finally:
            shutil.rmtree(folder)
        return self.outcome

    def fault(self, words):
        self.outcome.faults.append(words)

    def under_faults_then_whole(self):
        self.archive = self.folder / "a.quaycell"
        self.line = Line(self.bench.port, self.folder / "port", **self.what_happens())
        first = FlashImage(self.image_file)
        # A killed host is started again for as long as it is to be killed again.
        for _ in range(1 + len(self.line.events) if self.case.kind == "kill" else 1):
            self.collect_under_faults(first)
            if self.outcome.finished or self.outcome.faults:
                break
        self.line.heal()
        if not self.outcome.faults:
            self.collect_whole(first)
        self.line.unplug()
        forgiven = self.bench.tell("findings")
        if forgiven.split()[1] != "0":
            self.fault(f"the hardware would not have forgiven: {forgiven}")

    def what_happens(self):
        if self.case.kind == "noise":
            return {"damage": {way: self.noise(ByRate(self.case, way)) for way in ("to_host", "to_logger")}}
        if KINDS[self.case.kind].by_rate:
            return {"damage": {way: ByRate(self.case, way) for way in ("to_host", "to_logger")}}
        actions = {
            "stall": lambda moment: lambda line: line.hold(moment.lasts_s),
            "unplug": lambda moment: lambda line: line.unplug(0.1 + moment.lasts_s),
            "kill": lambda moment: lambda line: self.host.send_signal(signal.SIGKILL),
            "cut": lambda moment: lambda line: self.bench.tell("cut"),
        }
        action = actions[self.case.kind]
        return {"events": [(moment.at, action(moment)) for moment in moments(self.case)]}

    def noise(self, damage):
        holds = held_speed(self.case)
        return lambda piece: damage(piece) if self.line.baud > holds else piece

    def collect(self):
        """Exit code and report of a collection over the line; the code is None when it never ends."""
        with open(self.folder / "out", "w+") as out, open(self.folder / "words", "w+") as words:
            self.host = subprocess.Popen(
                [BUILD / "bin" / "quaycell", "collect", "--port", self.line.host_port, "--archive",
                 self.archive, "--json"], stdin=subprocess.DEVNULL, stdout=out, stderr=words)
            ended = self.line.carry(self.host, LONGEST_S)
            if not ended:
                self.host.kill()
            code = self.host.wait()
            out.seek(0)
            words.seek(0)
            self.words = words.read()
            report = out.read()
        if len(self.words) > MOST_WORDS:
            self.fault(f"{len(self.words)} bytes of words")
        if not ended:
            return None, None
        return code, json.loads(report) if code == 0 else None

    def flash(self):
        file = self.folder / "flash"
        self.bench.tell(f"save {file}")
        return FlashImage(file)

    def collect_under_faults(self, first):
        start = time.monotonic()
        code, report = self.collect()
        self.outcome.seconds += time.monotonic() - start
        if code is None:
            return self.fault(f"no end after {LONGEST_S} s")
        if code not in (0, 1) and not (self.case.kind == "kill" and code == -signal.SIGKILL):
            return self.fault(f"exit code {code}: {self.words[-200:]}")
        if code == 1 and not self.words.strip():
            self.fault("failed without a word")
        image, held = self.flash(), Held(self.archive)
        self.outcome.held = len(held.records)
        self.outcome.finished = code == 0
        self.outcome.baud = report["baud"] if report else 0
        excused = self.numbers(report["gaps"]) if report else set()
        self.outcome.gaps = len(excused & set(image.records))
        for number in excused:
            if number not in held.records:
                image.records.pop(number, None)
        self.outcome.faults += faults_of(held, image)
        if code == 0:
            self.check_whole(held, image, first)

    def collect_whole(self, first):
        code, _ = self.collect()
        if code != 0:
            return self.fault(f"over a good line: exit code {code}: {self.words[-200:]}")
        image, held = self.flash(), Held(self.archive)
        self.outcome.faults += faults_of(held, image)
        self.check_whole(held, image, first)
        code, report = self.collect()
        # The logger is recording: a reading or two may have come in the meantime.
        if code != 0 or report["added"] > 3:
            self.fault(f"collected again: exit code {code}, {report and report['added']} records added")

    def check_whole(self, held, image, first):
        until = held.collected_to
        if until < first.next:
            self.fault(f"it says it is done with number {until}, the log went to {first.next}")
        missing = lacks(held, image, until)
        if missing:
            self.fault(f"it says it is done and lacks {len(missing)} records from number {missing[0]}")

    @staticmethod
    def numbers(gaps):
        return {number for gap in gaps
                for number in range(gap["first_sequence"], gap["first_sequence"] + gap["records"])}
