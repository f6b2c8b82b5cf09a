"""The cable between the host and the simulated logger, with its faults: a pseudo-terminal for the host,
whose bytes are carried to the logger's own and back."""
import errno
import os
import pty
import select
import termios
import time
import tty

MOST_AT_ONCE = 4096
BAUDS = {getattr(termios, f"B{baud}"): baud for baud in (115200, 230400, 460800, 921600)}
MOST_IN_HAND = 1024  # beyond it the logger has to wait, so that it is not far ahead of the host


class Line:
    """`damage` maps "to_host" and "to_logger" to what is done to their bytes; `events` are
    (bytes gone to the host, action) in order, and an action may hold the line up by returning the time
    until which nothing passes."""

    def __init__(self, logger_port, host_port, damage=None, events=()):
        self.logger_port, self.host_port = logger_port, host_port
        self.damage = damage or {}
        self.events = list(events)
        self.gone_to_host = 0
        self.held_until = 0.0
        self.back_at = None
        self.master = self.slave = self.logger = None
        self.baud = 115200
        self.plug_in()

    def plug_in(self):
        self.logger = os.open(os.path.realpath(self.logger_port), os.O_RDWR | os.O_NOCTTY | os.O_NONBLOCK)
        tty.setraw(self.logger)
        # Our own hold on the host's end keeps it from hanging up when a host closes it.
        self.master, self.slave = pty.openpty()
        tty.setraw(self.slave)
        os.set_blocking(self.master, False)
        link = f"{self.host_port}.new"
        os.symlink(os.ttyname(self.slave), link)
        os.replace(link, self.host_port)
        self.to_host, self.to_logger = bytearray(), bytearray()
        self.back_at = None

    def unplug(self, away_s=None):
        """Both ends hang up and the host's port is gone, for a time or for good."""
        for end in (self.master, self.slave, self.logger):
            if end is not None:
                os.close(end)
        self.master = self.slave = self.logger = None
        if os.path.islink(self.host_port):
            os.remove(self.host_port)
        self.back_at = None if away_s is None else time.monotonic() + away_s

    def heal(self):
        """A good cable, plugged in, without anything on its way."""
        self.damage, self.events, self.held_until = {}, [], 0.0
        if self.master is None:
            self.plug_in()
        self.to_host.clear()
        self.to_logger.clear()

    def hold(self, seconds):
        self.held_until = time.monotonic() + seconds

    def carry(self, host, longest_s):
        """Until the host's process has ended; False when it has not after `longest_s`."""
        deadline = time.monotonic() + longest_s
        while host.poll() is None:
            if time.monotonic() > deadline:
                return False
            self.step()
        return True

    def step(self):
        while self.events and self.gone_to_host >= self.events[0][0]:
            self.events.pop(0)[1](self)
        now = time.monotonic()
        if self.master is None:
            if self.back_at is not None and now >= self.back_at:
                self.plug_in()
            else:
                time.sleep(0.01)
            return
        if now < self.held_until:
            time.sleep(min(0.01, self.held_until - now))
            return
        sources = [self.master] if len(self.to_logger) < MOST_IN_HAND else []
        sources += [self.logger] if len(self.to_host) < MOST_IN_HAND else []
        sinks = ([self.master] if self.to_host else []) + ([self.logger] if self.to_logger else [])
        readable, writable, _ = select.select(sources, sinks, [], 0.02)
        self.carry_speed()
        if self.logger in readable:
            self.to_host += self.damaged("to_host", self.piece(self.logger))
        if self.master in readable:
            self.to_logger += self.damaged("to_logger", self.piece(self.master))
        if self.master in writable:
            # Not beyond the next event, which is to find what went before on the line.
            until = self.events[0][0] - self.gone_to_host if self.events else MOST_AT_ONCE
            self.gone_to_host += self.send(self.master, self.to_host, max(1, until))
        if self.logger in writable:
            self.send(self.logger, self.to_logger, MOST_AT_ONCE)

    def carry_speed(self):
        """The speed that the host has set is the line's. A host changes it when nothing is on its way."""
        speeds = slice(4, 6)  # of what tcgetattr gives: both ways
        host, logger = termios.tcgetattr(self.slave), termios.tcgetattr(self.logger)
        self.baud = BAUDS.get(host[4], self.baud)
        if host[speeds] != logger[speeds]:
            logger[speeds] = host[speeds]
            termios.tcsetattr(self.logger, termios.TCSANOW, logger)

    def damaged(self, direction, piece):
        damage = self.damage.get(direction)
        return damage(piece) if damage else piece

    @staticmethod
    def piece(descriptor):
        try:
            return os.read(descriptor, MOST_AT_ONCE)
        except OSError as error:
            if error.errno in (errno.EAGAIN, errno.EIO):
                return b""
            raise

    @staticmethod
    def send(descriptor, waiting, most):
        try:
            count = os.write(descriptor, waiting[:most])
        except BlockingIOError:
            return 0
        del waiting[:count]
        return count
