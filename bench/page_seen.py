"""How soon is the vehicle seen, and does its picture turn smoothly, the hull a million triangles or not?

A real browser without a window opens the page of the demo from a server that is up, and tells when
the first picture had been drawn: after the first time, as a builder comes back to it. Then the same
page with the hull cut into a million triangles and more, thinned for show as the page says, is
turned at every frame, and the time from one frame to the next is kept. Frames are judged where a
graphics card draws; a processor that draws instead of one is told, and judges nothing.
"""

import shutil
import statistics
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
from goals import Goal, absolute_time, judged, not_run, options, steady

from finial.findings.check import load
from finial.shape.mesh import Mesh
from finial.web.guard import cookie_name
from finial.web.hull import MOST_FACES
from finial.web.serve import listen, server_for, session_of, spare_what_stays
from finial.web.session import Session

DEMO = Path(__file__).parents[1] / "examples" / "skerry-light" / "skerry-light.toml"
KEY = "of-the-bench"
FIRST_MS, FRAME_MS = 1000.0, 1000.0 / 60.0
TRIANGLES = 1_000_000
NAMES = ("chromium", "chromium-browser", "google-chrome")
WITHOUT_A_CARD = [
    "--no-sandbox",
    "--use-gl=angle",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
]
SOFTWARE = ("swiftshader", "llvmpipe")
SEEN = """
new MutationObserver(() => {
  if (!window.seen_ms && document.querySelector(".frame .words span")) window.seen_ms = performance.now();
}).observe(document, { childList: true, subtree: true });
"""
"""Words stand beside the marks once the picture that they belong to was drawn."""
RENDERER = """() => {
  const gl = document.createElement("canvas").getContext("webgl2");
  const told = gl.getExtension("WEBGL_debug_renderer_info");
  return gl.getParameter(told ? told.UNMASKED_RENDERER_WEBGL : gl.RENDERER);
}"""
TURNED = """(frames) => new Promise((done) => {
  const roll = [...document.querySelectorAll("button")].find((one) => one.textContent === "Roll one way");
  const times = [];
  const step = (now) => {
    times.push(now);
    if (times.length > frames) return done(times);
    roll.click();
    requestAnimationFrame(step);
  };
  requestAnimationFrame(step);
})"""


@contextmanager
def served(session: Session) -> Iterator[tuple[str, int]]:
    with listen(0) as listening:
        port = listening.getsockname()[1]
        server = server_for(session, port=port, key=KEY)
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
        thread.start()
        try:
            yield f"http://127.0.0.1:{port}/", port
        finally:
            server.should_exit = True
            thread.join()


def of_a_million(session: Session) -> Session:
    """Return the same page, the hull's triangles cut in four until there are a million."""
    import trimesh

    shape = session.as_written.shape
    mesh = shape.display_mesh
    vertices, faces = np.asarray(mesh.vertices_m), np.asarray(mesh.faces)[~shape.fin_faces]
    while len(faces) < TRIANGLES:
        vertices, faces = trimesh.remesh.subdivide(vertices, faces)
    cut = Mesh(vertices_m=vertices, faces=faces.astype(np.int64))
    shape = replace(shape, display_mesh=cut, fin_faces=np.zeros(len(faces), dtype=bool))
    return replace(session, as_written=replace(session.as_written, shape=shape), read_again=None)


def opened(browser: Any, address: str, port: int) -> Any:
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    page.context.add_cookies([{"name": cookie_name(port), "value": KEY, "url": address}])
    page.add_init_script(SEEN)
    page.goto(address)
    page.wait_for_function("() => window.seen_ms > 0", timeout=60_000)
    return page


def first_seen_ms(browser: Any, session: Session, runs: int) -> list[float]:
    """Return when the first picture had been drawn, after the browser was sent there [ms]."""
    times = []
    with served(session) as (address, port):
        for _ in range(runs + 1):
            page = opened(browser, address, port)
            times.append(float(page.evaluate("window.seen_ms")))
            page.close()
    return times[1:]


def frames_ms(browser: Any, session: Session, count: int) -> tuple[list[float], str, str]:
    """Turn the picture at every frame; return the times between frames [ms], who draws, and what is said."""
    with served(session) as (address, port):
        page = opened(browser, address, port)
        drawn = str(page.evaluate(RENDERER))
        said = page.get_by_text("triangles of the meshes")
        words = said.first.inner_text() if said.count() else "nothing of triangles: all are drawn"
        page.evaluate(TURNED, 20)
        times = page.evaluate(TURNED, count)
        page.close()
    return np.diff(times).tolist(), drawn, words


def line(name: str, times_ms: list[float]) -> None:
    ordered = sorted(times_ms)
    ninth = ordered[int(0.9 * (len(ordered) - 1))]
    print(f"{name:44s} median {statistics.median(ordered):7.1f} ms   nine in ten under {ninth:7.1f} ms")


def main() -> int:
    given = options(__doc__).parse_args()
    chromium = next(filter(None, map(shutil.which, NAMES)), None)
    try:
        from playwright.sync_api import sync_playwright
    except ModuleNotFoundError:
        return not_run("playwright is not installed", given)
    if chromium is None:
        return not_run("no browser is on the path", given)
    session = session_of(load(DEMO))
    large = of_a_million(session)
    spare_what_stays()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=WITHOUT_A_CARD)
        small = first_seen_ms(browser, session, 3 if given.small else 9)
        again = first_seen_ms(browser, large, 1 if given.small else 5)
        plain, drawn, _ = frames_ms(browser, session, 30 if given.small else 240)
        turned, drawn, words = frames_ms(browser, large, 30 if given.small else 240)
        browser.close()
    faces = len(large.as_written.shape.display_mesh.faces)
    print(f"drawn by {drawn}; the page says: {words}")
    line("first picture", small)
    line(f"first picture, {faces:,} triangles", again)
    line("one frame to the next while turned", plain)
    line(f"the same, {faces:,} triangles", turned)
    goals: list[Goal] = [
        steady("triangles of the large hull", faces, "at least", TRIANGLES),
        steady("the page says how many of them it draws", float(f"{faces:,}" in words), "exactly", 1),
        absolute_time("first picture", statistics.median(small), FIRST_MS, " ms"),
        absolute_time(f"first picture, {faces:,} triangles", statistics.median(again), FIRST_MS, " ms"),
    ]
    if not any(one in drawn.lower() for one in SOFTWARE):
        goals.append(absolute_time("frame of the large hull", statistics.median(turned), FRAME_MS, " ms"))
    print(f"at most {MOST_FACES:,} triangles are drawn")
    return judged(goals, given)


if __name__ == "__main__":
    sys.exit(main())
