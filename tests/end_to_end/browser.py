"""Chromium without a window, driven through the DevTools protocol over a pipe: no other program, no port."""
import base64
import fcntl
import json
import os
import subprocess
import time


def high_pipe():
    """(end to read, end to write), above the descriptors that the browser's own are made of."""
    low = os.pipe()
    high = [fcntl.fcntl(end, fcntl.F_DUPFD_CLOEXEC, 10) for end in low]
    for end in low:
        os.close(end)
    return high


class Browser:
    def __init__(self, folder, *options):
        to_read, to_write = high_pipe(), high_pipe()
        self.process = subprocess.Popen(
            # The protocol's pipe is descriptors 3 and 4.
            ["bash", "-c", f'exec 3<&{to_read[0]} 4>&{to_write[1]}; exec "$@"', "bash", "chromium", "--headless=new",
             "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
             "--disable-component-update", "--disable-sync", "--hide-scrollbars", "--remote-debugging-pipe",
             "--disable-dev-shm-usage", f"--user-data-dir={folder}", *options, "about:blank"],
            pass_fds=(to_read[0], to_write[1]), stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL)
        os.close(to_read[0])
        os.close(to_write[1])
        self.say, self.hear = os.fdopen(to_read[1], "wb", 0), os.fdopen(to_write[0], "rb", 0)
        self.held, self.number = b"", 0
        self.events = []

    def close(self):
        self.process.kill()
        self.process.wait()
        self.say.close()
        self.hear.close()

    def next_message(self):
        while b"\0" not in self.held:
            piece = self.hear.read(1 << 20)
            assert piece, "chromium has ended"
            self.held += piece
        text, self.held = self.held.split(b"\0", 1)
        return json.loads(text)

    def call(self, method, session=None, **parameters):
        self.number += 1
        message = {"id": self.number, "method": method, "params": parameters}
        if session:
            message["sessionId"] = session
        self.say.write(json.dumps(message).encode() + b"\0")
        while True:
            answer = self.next_message()
            if answer.get("id") == self.number:
                assert "error" not in answer, f"{method}: {answer['error']}"
                return answer["result"]
            self.events.append(answer)

    def page(self, address=None, width=1366, height=768, scheme="light", mobile=False):
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        page = Page(self, session, target)
        for domain in ("Page", "Runtime", "Log", "Network"):
            page.call(f"{domain}.enable")
        page.look(width, height, scheme, mobile)
        if address:
            page.open(address)
        return page


class Page:
    def __init__(self, browser, session, target):
        self.browser, self.session, self.target = browser, session, target

    def call(self, method, **parameters):
        return self.browser.call(method, self.session, **parameters)

    def look(self, width, height, scheme, mobile=False):
        self.call("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=mobile)
        self.call("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": scheme}])

    def open(self, address):
        self.call("Page.navigate", url=address)
        self.wait_for("document.readyState == 'complete' && location.href != 'about:blank'")

    def value(self, expression):
        """Of JavaScript, awaited where it is a promise."""
        result = self.call("Runtime.evaluate", expression=expression, awaitPromise=True, returnByValue=True)
        assert "exceptionDetails" not in result, f"{expression}: {result['exceptionDetails']}"
        return result["result"].get("value")

    def holds(self, expression):
        """Whether it is true of the page that is there; of one that is just being left nothing is."""
        try:
            return self.value(f"Boolean({expression})")
        except AssertionError as error:
            if "navigated or closed" not in str(error):
                raise
            return False

    def wait_for(self, expression, longest_s=90):
        deadline = time.monotonic() + longest_s
        while not self.holds(expression):
            assert time.monotonic() < deadline, f"never: {expression}; {self.value('document.body.innerText')}"
            time.sleep(0.05)

    def text(self, selector):
        return self.value(f"document.querySelector({json.dumps(selector)}).innerText")

    def key(self, key, code=None, text=""):
        for kind in ("keyDown", "keyUp"):
            self.call("Input.dispatchKeyEvent", type=kind, key=key, code=code or key, text=text if kind == "keyDown" else "",
                      windowsVirtualKeyCode={"Tab": 9, "Enter": 13, "ArrowLeft": 37, "ArrowRight": 39}.get(key, 0))

    def picture(self, file, whole=False):
        data = self.call("Page.captureScreenshot", format="png", captureBeyondViewport=whole)["data"]
        file.write_bytes(base64.b64decode(data))

    def complaints(self):
        """What the browser refused or did not understand, of this page."""
        self.value("1")
        found = []
        for event in self.browser.events:
            if event.get("sessionId") != self.session:
                continue
            if event["method"] == "Log.entryAdded" and event["params"]["entry"]["level"] == "error":
                found.append(event["params"]["entry"]["text"])
            if event["method"] == "Runtime.exceptionThrown":
                found.append(json.dumps(event["params"]["exceptionDetails"])[:400])
        return found

    def asked(self):
        """The addresses that were asked for."""
        self.value("1")
        return [event["params"]["request"]["url"] for event in self.browser.events
                if event.get("sessionId") == self.session and event["method"] == "Network.requestWillBeSent"]
