#!/usr/bin/env python3
"""What collecting costs here, beside the line: time, memory, processor, for one logger with a full
memory of 2 MB at several paces, for a cable that is pulled, and for a yard of 32 loggers at once. Every
archive is held against the loggers' flash. Prints a table; only a wrong archive fails.

Run after a build: tests/perf/collecting.py [full] [unplug] [yard]   (all of it takes about ten minutes)
QUAYCELL_BUILD names the build folder if it is not build/."""
import json
import os
import platform
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent / "end_to_end"), str(HERE.parent / "faults")]
from programs import BUILD, SCENARIOS, Bench, quaycell  # noqa: E402

from evidence import FlashImage, Held, faults_of, lacks  # noqa: E402
from line import Line  # noqa: E402

SCENARIO = "quiet-berth.toml"
START = "2026-05-04T06:00:00Z"
YARD = 32
# PROTOCOL.md: ten bits to a byte; frames of seven slots, of one, and the end of a read.
BITS = 10
FIRST_BAUD, FASTEST_BAUD = 115200, 921600
BLOCK_SLOTS, BLOCK_BYTES, SLOT_BYTES, END_BYTES = 7, 235, 43, 15


def line_seconds(slots, baud=FIRST_BAUD):
    """How long the answer to one read of so many slots is on the line."""
    blocks, rest = divmod(slots, BLOCK_SLOTS)
    return (blocks * BLOCK_BYTES + rest * SLOT_BYTES + END_BYTES) * BITS / baud


def armed(bench, interval):
    done = quaycell("deploy", "--port", bench.port, "--interval", interval, "--clock", START)
    assert done.returncode == 0, done.stderr


class Host:
    """A run of the program, with what it cost."""

    def __init__(self, *arguments):
        self.start = time.monotonic()
        self.process = subprocess.Popen([BUILD / "bin" / "quaycell", *map(str, arguments)],
                                        stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
                                        stderr=subprocess.PIPE, text=True)
        self.words = []  # (when, line)
        self.reader = threading.Thread(target=self.read_words)
        self.reader.start()

    def read_words(self):
        for line in self.process.stderr:
            self.words.append((time.monotonic(), line.strip()))

    def wait(self):
        self.memory_mb = 0
        while not ended(self.process.pid):
            self.memory_mb = max(self.memory_mb, self.peak_memory_mb())
            time.sleep(0.05)
        _, status, usage = os.wait4(self.process.pid, 0)
        self.seconds = time.monotonic() - self.start
        self.said = self.process.stdout.read()  # little, so that it never waited for its reader
        self.reader.join()
        self.process.returncode = os.waitstatus_to_exitcode(status)
        self.cpu_s = usage.ru_utime + usage.ru_stime
        assert self.process.returncode == 0, self.words
        return self

    def peak_memory_mb(self):
        """Of the program alone: what wait4 tells counts this script too, from before the exec."""
        status = Path(f"/proc/{self.process.pid}/status").read_text()
        peak = [line.split()[1] for line in status.splitlines() if line.startswith("VmHWM")]
        return int(peak[0]) / 1024 if peak else 0

    def cpu_so_far(self):
        fields = Path(f"/proc/{self.process.pid}/stat").read_text().rsplit(")", 1)[1].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def check(archive, flash, device=None):
    held, image = Held(archive, device), FlashImage(flash)
    faults = faults_of(held, image)
    missing = lacks(held, image, held.collected_to)
    if faults or missing or not held.records:
        sys.exit(f"{archive} is wrong: {faults[:3]} {len(missing)} records missing")
    return len(held.records)


def full_memory(folder):
    flash = folder / "flash"
    bench = Bench(folder, SCENARIO)
    armed(bench, "1s")
    bench.tell("advance 20h")  # 65 000 readings fill it after 18
    bench.tell(f"save {flash}")
    bench.close()
    image = FlashImage(flash)
    slots = image.next - image.tail
    print(f"\n{slots} slots, {len(image.records)} good records; "
          f"{line_seconds(slots):.1f} s of line at {FIRST_BAUD} baud")
    print(f"{'pace':<8}{'baud':>8}{'line s':>8}{'elapsed s':>10}{'over line %':>12}{'host CPU s':>12}"
          f"{'memory MB':>11}{'archive':>16}")
    for pace, options, factor, most in (("1", ["--pace", "1"], 1, FIRST_BAUD),
                                        ("20", ["--pace", "20"], 20, FIRST_BAUD),
                                        ("free", ["--free"], None, FIRST_BAUD),
                                        ("1", ["--pace", "1"], 1, FASTEST_BAUD // 2),
                                        ("1", ["--pace", "1"], 1, FASTEST_BAUD)):
        bench = Bench(folder, SCENARIO, "--flash-image", flash, *options)
        archive = folder / f"pace-{pace}-{most}"
        host = Host("collect", "--port", bench.port, "--archive", archive, "--baud", most, "--json").wait()
        baud = json.loads(host.said)["baud"]
        line_s = line_seconds(slots, baud)
        bench.tell(f"save {folder / 'after'}")
        records = check(archive, folder / "after")
        over = f"{100 * (host.seconds * factor / line_s - 1):.2f}" if factor else "-"
        print(f"{pace:<8}{baud:>8}{line_s:>8.1f}{host.seconds:>10.1f}{over:>12}{host.cpu_s:>12.2f}{host.memory_mb:>11.1f}"
              f"{records:>9} equal", flush=True)
        bench.close()


def said_after(host, moment, words, longest_s):
    """When the host said that, in seconds after the moment."""
    while time.monotonic() < moment + longest_s:
        for when, line in list(host.words):
            if when > moment and words in line:
                return when - moment
        time.sleep(0.01)
    sys.exit(f"the host did not say \"{words}\": {host.words}")


def pulled_cable(folder):
    bench = Bench(folder, SCENARIO, "--pace", "1")
    armed(bench, "10s")
    bench.tell("advance 8h")
    line = Line(bench.port, folder / "port")
    print(f"\n{'command':<10}{'noticed s':>10}{'away: CPU %':>12}{'lines said':>11}{'picked up s':>13}")
    away_s = 10
    for command in (("collect", "--archive", folder / "pulled", "--give-up-after", "60s",
                     "--baud", FIRST_BAUD),  # slow enough to be pulled in the middle
                    ("live", "--hull", "steel", "--count", "20", "--give-up-after", "60s")):
        host = Host(command[0], "--port", line.host_port, *command[1:])
        carried_until(line, time.monotonic() + 4)
        pulled = time.monotonic()
        line.unplug()
        noticed = said_after(host, pulled, str(line.host_port), 10)
        before = host.cpu_so_far()
        time.sleep(away_s)
        share = 100 * (host.cpu_so_far() - before) / away_s
        said = sum(when > pulled for when, _ in host.words)
        back = time.monotonic()
        asked = []  # when the host has found the port and says something again
        line.damage = {"to_logger": lambda piece: asked.append(time.monotonic()) or piece}
        line.plug_in()
        while not asked:
            line.step()
        picked_up = asked[0] - back
        while not ended(host.process.pid):
            line.step()
        host.wait()
        print(f"{command[0]:<10}{noticed:>10.2f}{share:>12.2f}{said:>11}{picked_up:>13.2f}", flush=True)
    line.unplug()
    bench.tell(f"save {folder / 'after'}")
    print(f"{check(folder / 'pulled', folder / 'after')} records equal to the flash")
    idle = Host("live", "--port", bench.port, "--hull", "steel", "--count", "20").wait()
    print(f"live, a reading a second: {100 * idle.cpu_s / idle.seconds:.2f} % of a core")
    bench.close()


def carried_until(line, until):
    while time.monotonic() < until:
        line.step()


def ended(pid):
    return os.waitid(os.P_PID, pid, os.WEXITED | os.WNOHANG | os.WNOWAIT) is not None


def yard(folder):
    scenario = (SCENARIOS / SCENARIO).read_text()
    benches = []
    for number in range(1, YARD + 1):
        berth = folder / str(number)
        berth.mkdir()
        own = berth / "scenario.toml"
        own.write_text(scenario.replace("device_id = 4711", f"device_id = {number}"))
        benches.append(Bench(berth, own, "--pace", "1"))
        armed(benches[-1], "10s")
        benches[-1].tell("advance 8h")
    archive = folder / "yard"
    ports = [word for bench in benches for word in ("--port", bench.port)]
    host = Host("collect", *ports, "--archive", archive, "--baud", FIRST_BAUD).wait()
    slots = 0
    for number, bench in enumerate(benches, 1):
        flash = folder / str(number) / "flash"
        bench.tell(f"save {flash}")
        slots += check(archive, flash, number)
        bench.close()
    one_line_s = line_seconds(slots // YARD)
    print(f"\n{YARD} loggers at once, {slots} records, every one equal to its logger's flash")
    print(f"{host.seconds:.1f} s, {slots * 32 / host.seconds / 1000:.0f} kB/s of records together; "
          f"{YARD} lines carry {slots * 32 / one_line_s / 1000:.0f} kB/s: "
          f"{100 * one_line_s / host.seconds:.0f} %")
    print(f"host: {host.cpu_s:.1f} s of processor, {host.memory_mb:.1f} MB")


PARTS = {"full": full_memory, "unplug": pulled_cable, "yard": yard}


def main():
    wanted = sys.argv[1:] or list(PARTS)
    if set(wanted) - set(PARTS):
        sys.exit(__doc__)
    model = next((line.split(":", 1)[1].strip() for line in open("/proc/cpuinfo", encoding="ascii")
                  if line.startswith("model name")), platform.machine())
    print(f"{model}, {os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}; {' '.join(sys.argv)}")
    for part in wanted:
        with tempfile.TemporaryDirectory() as folder:
            PARTS[part](Path(folder))


if __name__ == "__main__":
    main()
