// SPDX-License-Identifier: Apache-2.0
// Draws circles and arrows on a photo, as a layer that is kept apart from it.
const svg = "http://www.w3.org/2000/svg";

export function start() {
  const photo = document.querySelector("[data-photo]");
  const form = document.querySelector("[data-marking]");
  if (!photo || !form) return;
  form.hidden = false;
  const layer = photo.querySelector(".layer");
  const [, , width, height] = layer.getAttribute("viewBox").split(" ").map(Number);
  const drawn = [];
  let shape = "";
  let from = null;

  for (const b of form.querySelectorAll("[data-shape]")) {
    b.addEventListener("click", () => {
      shape = shape === b.dataset.shape ? "" : b.dataset.shape;
      photo.classList.toggle("drawing-on", shape !== "");
      for (const o of form.querySelectorAll("[data-shape]")) o.setAttribute("aria-pressed", String(o.dataset.shape === shape));
    });
  }
  form.querySelector("[data-undo]").addEventListener("click", () => {
    const last = drawn.pop();
    last?.figure.remove();
    last?.field.remove();
  });

  const place = (e) => {
    const box = layer.getBoundingClientRect();
    const part = (x) => Math.min(Math.max(x, 0), 1);
    return [part((e.clientX - box.left) / box.width), part((e.clientY - box.top) / box.height)];
  };
  layer.addEventListener("pointerdown", (e) => {
    if (!shape) return;
    e.preventDefault();
    layer.setPointerCapture(e.pointerId);
    from = { at: place(e), figure: layer.appendChild(document.createElementNS(svg, shape === "circle" ? "circle" : "path")) };
  });
  layer.addEventListener("pointermove", (e) => from && trace(from.figure, from.at, place(e)));
  layer.addEventListener("pointerup", (e) => {
    if (!from) return;
    const to = place(e);
    const { at, figure } = from;
    from = null;
    if (Math.hypot(to[0] - at[0], to[1] - at[1]) < 0.01) return figure.remove();
    trace(figure, at, to);
    const field = Object.assign(document.createElement("input"), { type: "hidden", name: "mark", value: [shape, ...at, ...to].map((v) => (typeof v === "number" ? v.toFixed(4) : v)).join(" ") });
    form.append(field);
    drawn.push({ figure, field });
  });
  layer.addEventListener("pointercancel", () => {
    from?.figure.remove();
    from = null;
  });

  function trace(figure, [ax, ay], [bx, by]) {
    const [x1, y1, x2, y2] = [ax * width, ay * height, bx * width, by * height];
    if (figure.tagName === "circle") {
      for (const [k, v] of Object.entries({ cx: x1, cy: y1, r: Math.hypot(x2 - x1, y2 - y1) })) figure.setAttribute(k, v);
      return;
    }
    const head = 0.04 * Math.max(width, height);
    const a = Math.atan2(y2 - y1, x2 - x1);
    const wing = (t) => `${x2 - head * Math.cos(a + t)} ${y2 - head * Math.sin(a + t)}`;
    figure.setAttribute("d", `M${x1} ${y1}L${x2} ${y2}M${wing(0.5)}L${x2} ${y2}L${wing(-0.5)}`);
  }
}
