"""A headless Chromium, driven over its DevTools protocol through one web socket.

Needs Debian's chromium and python3-websockets and no registry. Methods and events are
those of https://chromedevtools.github.io/devtools-protocol/.
"""

import asyncio
import base64
import itertools
import json
import pathlib
import re
import shutil
import subprocess
import tempfile
import time

SECONDS = 60
FLAGS = ["--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage",
         "--no-first-run", "--disable-extensions", "--disable-background-networking",
         "--hide-scrollbars", "--host-resolver-rules=MAP * ~NOTFOUND",
         "--remote-debugging-port=0"]


def missing():
    """What keeps a browser from being driven here, in words; nothing if it can be."""
    lacks = []
    if not program():
        lacks.append("chromium")
    try:
        import websockets  # noqa: F401
    except ImportError:
        lacks.append("python3-websockets")
    return " and ".join(lacks)


def program():
    return shutil.which("chromium") or shutil.which("chromium-browser")


class Browser:
    def __init__(self):
        self._profile = tempfile.TemporaryDirectory(prefix="drydepth-browser-",
                                                    ignore_cleanup_errors=True)
        self._numbers = itertools.count(1)
        self._waiting = {}
        self._pages = {}

    async def __aenter__(self):
        import websockets
        folder = pathlib.Path(self._profile.name)
        self._process = subprocess.Popen(
            [program(), *FLAGS, f"--user-data-dir={folder}", "about:blank"],
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        # The browser writes its port and path there once it listens.
        port = folder / "DevToolsActivePort"
        end = time.monotonic() + SECONDS
        while not port.exists() or "\n" not in port.read_text():
            if time.monotonic() > end or self._process.poll() is not None:
                raise RuntimeError("chromium did not start")
            await asyncio.sleep(0.05)
        number, path = port.read_text().split("\n")[:2]
        self._socket = await websockets.connect(f"ws://127.0.0.1:{number}{path}",
                                                max_size=None, ping_interval=None)
        self._reader = asyncio.create_task(self._read())
        return self

    async def __aexit__(self, *_):
        self._reader.cancel()
        await self._socket.close()
        self._process.terminate()
        self._process.wait(SECONDS)
        self._profile.cleanup()

    async def _read(self):
        async for text in self._socket:
            message = json.loads(text)
            waiting = self._waiting.pop(message.get("id"), None)
            if waiting and not waiting.done():
                waiting.set_result(message)
            elif "method" in message and message.get("sessionId") in self._pages:
                self._pages[message["sessionId"]].events.append(message)

    async def call(self, method, session=None, **parameters):
        number = next(self._numbers)
        message = {"id": number, "method": method, "params": parameters}
        if session:
            message["sessionId"] = session
        self._waiting[number] = asyncio.get_running_loop().create_future()
        await self._socket.send(json.dumps(message))
        answer = await asyncio.wait_for(self._waiting[number], SECONDS)
        if "error" in answer:
            raise RuntimeError(f"{method}: {answer['error']}")
        return answer["result"]

    async def open(self, path, sans=None):
        """The file as a page, all that it does from the start recorded in its events;
        `sans` is the family that stands for sans-serif."""
        target = await self.call("Target.createTarget", url="about:blank")
        attached = await self.call("Target.attachToTarget", flatten=True,
                                   targetId=target["targetId"])
        page = Page(self, target["targetId"], attached["sessionId"])
        self._pages[page.session] = page
        for domain in ("Page", "Runtime", "Network", "Log", "Accessibility"):
            await page.call(f"{domain}.enable")
        if sans:
            await page.call("Page.setFontFamilies", fontFamilies={"sansSerif": sans})
        await page.call("Page.navigate", url=pathlib.Path(path).as_uri())
        end, answered = time.monotonic() + SECONDS, 0
        while not page.of("Page.loadEventFired"):
            # A dialog holds the page up until it is answered.
            if len(page.of("Page.javascriptDialogOpening")) > answered:
                answered += 1
                await page.call("Page.handleJavaScriptDialog", accept=True)
            if time.monotonic() > end:
                raise RuntimeError(f"{path} did not load")
            await asyncio.sleep(0.02)
        await asyncio.sleep(0.1)  # what a load sets off
        return page


class Page:
    def __init__(self, browser, target, session):
        self.browser, self.target, self.session = browser, target, session
        self.events = []

    def of(self, *methods):
        return [e["params"] for e in self.events if e["method"] in methods]

    async def call(self, method, **parameters):
        return await self.browser.call(method, self.session, **parameters)

    async def close(self):
        await self.browser.call("Target.closeTarget", targetId=self.target)

    async def evaluate(self, script):
        answer = await self.call("Runtime.evaluate", expression=script,
                                 returnByValue=True)
        if "exceptionDetails" in answer:
            raise RuntimeError(json.dumps(answer["exceptionDetails"])[:2000])
        return answer["result"].get("value")

    async def look(self, width, zoom=1, scheme="light", media="screen"):
        """A window `width` wide. Zoom is what a browser's zoom is to a page: fewer CSS
        pixels, each of more dots."""
        await self.call("Emulation.setDeviceMetricsOverride", width=int(width / zoom),
                        height=900, deviceScaleFactor=zoom, mobile=False)
        await self.call("Emulation.setEmulatedMedia", media=media, features=[
            {"name": "prefers-color-scheme", "value": scheme}])

    async def pdf_pages(self, width_in, height_in):
        out = await self.call("Page.printToPDF", paperWidth=width_in,
                              paperHeight=height_in, printBackground=True)
        data = base64.b64decode(out["data"])
        return len(re.findall(rb"/Type\s*/Page\b(?!s)", data)), data

    async def screenshot(self):
        """The whole page as a PNG."""
        out = await self.call("Page.captureScreenshot", captureBeyondViewport=True)
        return base64.b64decode(out["data"])

    async def images(self):
        """Names that a screen reader gets of each picture."""
        tree = await self.call("Accessibility.getFullAXTree")
        return [n.get("name", {}).get("value", "") for n in tree["nodes"]
                if n.get("role", {}).get("value") in ("img", "image", "graphics-document")]
