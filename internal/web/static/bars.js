// SPDX-License-Identifier: Apache-2.0
// The bars of the strip gauge: one, or two neighbours for between. Another tap
// beside what is chosen moves along; one further off starts anew.
const boxes = (scale) => [...scale.querySelectorAll("input[type=checkbox]")];

export function start() {
  for (const scale of document.querySelectorAll("[data-bars]")) {
    scale.addEventListener("change", (e) => choose(boxes(scale), e.target));
    scale.addEventListener("keydown", (e) => step(boxes(scale), e));
  }
}

// The rule: a neighbour of what was chosen joins the nearer bar; what is not a
// neighbour stands alone.
function choose(all, tapped) {
  if (!tapped.checked) return;
  const i = all.indexOf(tapped);
  const others = all.map((b, k) => (b.checked && k !== i ? k : -1)).filter((k) => k >= 0);
  const keep = others.find((k) => Math.abs(k - i) === 1);
  all.forEach((b, k) => {
    b.checked = k === i || k === keep;
  });
}

// Arrow keys walk along the scale; the space bar taps, as on every box.
function step(all, e) {
  const by = { ArrowDown: 1, ArrowRight: 1, ArrowUp: -1, ArrowLeft: -1 }[e.key];
  const to = by && all[all.indexOf(e.target) + by];
  if (!to) return;
  e.preventDefault();
  to.focus();
}
