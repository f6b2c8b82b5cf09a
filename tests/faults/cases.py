"""What can go wrong, each case from one line: kind=flip rate=1e-4 seed=17. The same line gives the same
faults at the same bytes."""
import math
import random
from dataclasses import dataclass

# The whole log once over the line, roughly; single events happen somewhere within it. [bytes]
LINE_BYTES = 40_000


@dataclass(frozen=True)
class Kind:
    what: str
    rates: tuple = ()  # lowest and highest, per bit or byte; else it is a number of events

    @property
    def by_rate(self):
        return bool(self.rates)


KINDS = {
    "flip": Kind("bits flipped, by the bit, both ways", rates=(1e-5, 1e-3)),
    "noise": Kind("bits flipped above a speed that the cable holds, by the bit, both ways", rates=(1e-4, 1e-1)),
    "drop": Kind("bytes lost, both ways", rates=(1e-5, 1e-3)),
    "double": Kind("bytes that come twice, both ways", rates=(1e-5, 1e-3)),
    "stall": Kind("nothing passes for up to 6 s, then all of it"),
    "unplug": Kind("the port goes and comes back under the same name"),
    "kill": Kind("the host is killed (SIGKILL)"),
    "cut": Kind("the logger loses its power"),
}


@dataclass(frozen=True)
class Case:
    kind: str
    seed: int
    rate: float = 0.0

    def __str__(self):
        rate = f" rate={self.rate:.3g}" if KINDS[self.kind].by_rate else ""
        return f"kind={self.kind}{rate} seed={self.seed}"

    def random(self, purpose):
        return random.Random(f"{self} {purpose}")


def case_of(kind, seed):
    """The case that a long run takes for this seed: the rates are spread evenly over their logarithm."""
    if not KINDS[kind].by_rate:
        return Case(kind, seed)
    share = random.Random(f"{kind} {seed}").random()
    lowest, highest = KINDS[kind].rates
    rate = lowest * (highest / lowest) ** share
    return Case(kind, seed, float(f"{rate:.3g}"))


def parse_case(line):
    """Reads what str() writes; the rate may be left out."""
    words = dict(word.split("=", 1) for word in line.split())
    if words.get("kind") not in KINDS or "seed" not in words or set(words) - {"kind", "seed", "rate"}:
        raise ValueError(f"not a case: \"{line}\". Write for instance \"kind=flip rate=1e-4 seed=17\"; "
                         f"kinds: {', '.join(KINDS)}")
    if "rate" in words:
        return Case(words["kind"], int(words["seed"]), float(words["rate"]))
    return case_of(words["kind"], int(words["seed"]))


def held_speed(case):
    """The fastest that a cable with noise carries without damage. [Bd]"""
    return case.random("speed").choice((115200, 115200, 230400, 460800))


class ByRate:
    """Damages a stream of bytes at random places, the same ones however it is cut into pieces."""

    def __init__(self, case, direction):
        self.random = case.random(direction)
        self.rate = case.rate
        self.unit = 8 if case.kind in ("flip", "noise") else 1  # places in a byte
        self.damage = {"flip": self.flip, "noise": self.flip, "drop": self.drop, "double": self.double}[case.kind]
        self.place = 0  # of the first byte of the piece to come
        self.next = self.gap()

    def gap(self):
        """Until the next fault, so that each place has the same chance."""
        return int(math.log(1.0 - self.random.random()) / math.log1p(-self.rate))

    def __call__(self, piece):
        damaged = bytearray(piece)
        faults = []
        while self.next < self.place + len(piece) * self.unit:
            faults.append(self.next - self.place)
            self.next += 1 + self.gap()
        for fault in reversed(faults):  # from the end, so that what moves has been dealt with
            self.damage(damaged, fault)
        self.place += len(piece) * self.unit
        return bytes(damaged)

    @staticmethod
    def flip(data, bit):
        data[bit // 8] ^= 1 << bit % 8

    @staticmethod
    def drop(data, byte):
        del data[byte]

    @staticmethod
    def double(data, byte):
        data.insert(byte, data[byte])


@dataclass(frozen=True)
class Moment:
    at: int  # when so many bytes have gone to the host
    lasts_s: float


def moments(case):
    """When the single events of a case happen: one to three of them. Nothing for a rate."""
    if KINDS[case.kind].by_rate:
        return []
    chance = case.random("moments")
    longest_s = {"stall": 6.0, "unplug": 1.5}.get(case.kind, 0.0)
    return sorted((Moment(chance.randrange(LINE_BYTES), longest_s * chance.random() ** 3)
                   for _ in range(chance.randint(1, 3))), key=lambda moment: moment.at)
