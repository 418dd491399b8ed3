// SPDX-License-Identifier: Apache-2.0
// Going on to the next position without the network: the page carries the
// order in which the throws come round.
import { show } from "./readback.js";

export function start() {
  const form = document.getElementById("reading");
  if (!form || !form.elements.typed) return;
  form.addEventListener("witnessmark:waits", (e) => {
    empty(form);
    if (e.detail.stay) again(form);
    else moveOn(form);
  });
  if (document.documentElement.dataset.copy) goTo(form, location.pathname);
  // What others have read meanwhile is not asked for again.
  document.addEventListener("witnessmark:refreshed", (e) => {
    const there = e.detail.getElementById("reading");
    if (there?.elements.position?.value === form.elements.position.value) form.dataset.order = there.dataset.order;
  });
}

const set = (name, text) => {
  for (const e of document.querySelectorAll(`[data-at="${name}"]`)) e.textContent = text;
};

// empty also forgets what the server had put in after an error: nothing of one
// reading may stand in the form of the next.
function empty(form) {
  for (const f of form.querySelectorAll("input:not([type=hidden])")) {
    if (f.type === "checkbox") f.checked = f.defaultChecked = false;
    else f.value = f.defaultValue = "";
  }
  for (const d of form.querySelectorAll("details[open]")) d.open = false;
}

function again(form) {
  form.elements.typed.focus();
  show(form);
}

const orderOf = (form) => JSON.parse(form.dataset.order || "[]") || [];

// goTo makes the copy of one position that of another further on.
function goTo(form, path) {
  const order = orderOf(form);
  const at = order.findIndex((o) => o.path === path);
  if (at < 0) return;
  form.dataset.order = JSON.stringify(order.slice(at));
  moveOn(form);
}

function moveOn(form) {
  const [next, ...rest] = orderOf(form);
  document.querySelector(".entry .kept")?.remove();
  document.querySelector(".entry .problem")?.remove();
  if (!next) return done(form);
  form.elements.position.value = next.position;
  form.dataset.order = JSON.stringify(rest);
  form.dataset.queue = `Position ${next.position} as ${form.elements.phase.value}`;
  set("position", next.position);
  set("cylinder", next.cylinder);
  set("count", next.count);
  set("after", rest.length > 0 ? `position ${rest[0].position}, as the throws come round.` : "back to the job.");
  const before = document.querySelector('[data-live="readings"]');
  if (before) before.hidden = true; // what was read there before is not known here
  history.replaceState(null, "", next.path);
  document.title = document.title.replace(/^\d+/, next.position);
  document.dispatchEvent(new CustomEvent("witnessmark:moved"));
  again(form);
  scrollTo(0, 0);
}

// done is after the last position: all of them wait.
function done(form) {
  form.hidden = true;
  set("after", "back to the job. Every position is entered; what waits goes out when the server answers.");
}
