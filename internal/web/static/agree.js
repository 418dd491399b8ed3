// SPDX-License-Identifier: Apache-2.0
// The estimate: one tap takes work in or out and the page reckons anew without
// being left. Signatures are drawn with a finger, a pen or the mouse.
const svg = "http://www.w3.org/2000/svg";

export function start() {
  document.addEventListener("submit", (e) => {
    if (!e.target.matches("form[data-agree]") || !navigator.onLine) return;
    e.preventDefault();
    const url = new URL(e.target.action);
    url.search = new URLSearchParams(new FormData(e.target, e.submitter)).toString();
    history.replaceState(history.state, "", url);
    document.dispatchEvent(new Event("witnessmark:sent"));
  });
  for (const pad of document.querySelectorAll("[data-sign]")) sign(pad);
}

function sign(pad) {
  const field = pad.querySelector("svg");
  const kept = pad.querySelector("input[name=strokes]");
  const [, , width, height] = field.getAttribute("viewBox").split(" ").map(Number);
  let strokes = kept.value ? kept.value.split(/(?=M)/) : [];
  let now = null;
  pad.querySelector("[data-tools]").hidden = false;

  const show = () => {
    kept.value = strokes.filter((s) => s.includes("L")).join("");
    field.replaceChildren(...strokes.map(path));
    pad.dataset.drawn = kept.value ? "yes" : "no";
  };
  const path = (d) => {
    const p = document.createElementNS(svg, "path");
    p.setAttribute("d", d);
    return p;
  };
  const place = (e) => {
    const box = field.getBoundingClientRect();
    const part = (x) => Math.min(Math.max(x, 0), 1);
    return `${(part((e.clientX - box.left) / box.width) * width).toFixed(1)} ${(part((e.clientY - box.top) / box.height) * height).toFixed(1)}`;
  };
  field.addEventListener("pointerdown", (e) => {
    e.preventDefault();
    field.setPointerCapture(e.pointerId);
    now = e.pointerId;
    strokes.push("M" + place(e));
  });
  field.addEventListener("pointermove", (e) => {
    if (e.pointerId !== now) return;
    strokes.push(strokes.pop() + "L" + place(e));
    show();
  });
  for (const end of ["pointerup", "pointercancel"]) field.addEventListener(end, (e) => e.pointerId === now && (now = null, show()));
  pad.querySelector("[data-undo]").addEventListener("click", () => (strokes.pop(), show()));
  pad.querySelector("[data-clear]").addEventListener("click", () => ((strokes = []), show()));
  show();
}
