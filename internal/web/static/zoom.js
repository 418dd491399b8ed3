// SPDX-License-Identifier: Apache-2.0
// Looks closer at a photo: [data-zoom]. Two fingers, a double tap, the wheel
// with Ctrl, plus and minus, or the buttons; one finger moves it about. Full
// screen fills the screen where the browser allows it, the window otherwise.
const most = 8;

export function start() {
  const stage = document.querySelector("[data-stage]");
  if (!stage) return;
  const view = stage.querySelector("[data-zoom]");
  const photo = view.querySelector("[data-photo]");
  const keys = stage.querySelector("[data-zoom-keys]");
  const full = keys.querySelector("[data-full]");
  let scale = 1;
  keys.hidden = false;

  // to zooms so that what lies at (x, y) of the window stays there.
  const to = (next, x, y) => {
    next = Math.min(Math.max(next, 1), most);
    const box = view.getBoundingClientRect();
    const [px, py] = [x - box.left, y - box.top];
    const [ax, ay] = [(view.scrollLeft + px) / scale, (view.scrollTop + py) / scale];
    scale = next;
    photo.style.width = `${scale * 100}%`;
    view.classList.toggle("near", scale > 1);
    view.scrollTo(ax * scale - px, ay * scale - py);
    view.dataset.zoom = scale.toFixed(2);
  };
  const middle = () => {
    const box = view.getBoundingClientRect();
    return [box.left + box.width / 2, box.top + box.height / 2];
  };
  const drawing = () => photo.classList.contains("drawing-on");

  for (const b of keys.querySelectorAll("[data-zoom-by]")) b.addEventListener("click", () => to(scale * Number(b.dataset.zoomBy), ...middle()));
  view.addEventListener("keydown", (e) => {
    if (e.key === "+" || e.key === "=") to(scale * 1.6, ...middle());
    if (e.key === "-") to(scale / 1.6, ...middle());
  });
  view.addEventListener("wheel", (e) => {
    if (!e.ctrlKey) return;
    e.preventDefault();
    to(scale * Math.exp(-e.deltaY / 200), e.clientX, e.clientY);
  }, { passive: false });

  let pinch = null;
  let tapped = 0;
  const spread = ([a, b]) => Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY);
  view.addEventListener("touchstart", (e) => {
    if (drawing()) return;
    if (e.touches.length === 2) {
      e.preventDefault();
      pinch = { from: spread(e.touches), scale };
    }
  }, { passive: false });
  view.addEventListener("touchmove", (e) => {
    if (!pinch || e.touches.length !== 2) return;
    e.preventDefault();
    const [a, b] = e.touches;
    to(pinch.scale * spread(e.touches) / pinch.from, (a.clientX + b.clientX) / 2, (a.clientY + b.clientY) / 2);
  }, { passive: false });
  view.addEventListener("touchend", (e) => {
    if (pinch) {
      if (e.touches.length < 2) pinch = null;
      return;
    }
    if (drawing() || e.changedTouches.length !== 1) return;
    const now = performance.now();
    const [t] = e.changedTouches;
    if (now - tapped < 350) to(scale > 1 ? 1 : 2.5, t.clientX, t.clientY);
    tapped = now;
  });

  const fill = (on) => {
    stage.classList.toggle("filling", on);
    full.textContent = on ? "Leave full screen" : "Full screen";
    if (!on) to(1, ...middle());
  };
  full.addEventListener("click", () => {
    const on = !stage.classList.contains("filling");
    fill(on);
    if (on) stage.requestFullscreen?.().catch(() => {});
    else if (document.fullscreenElement) document.exitFullscreen();
  });
  document.addEventListener("fullscreenchange", () => document.fullscreenElement || fill(false));
  document.addEventListener("keydown", (e) => e.key === "Escape" && fill(false));
}
