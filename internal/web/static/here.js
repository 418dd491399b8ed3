// SPDX-License-Identifier: Apache-2.0
// Who is at which position: a position page says so while it is looked at, and
// pages of the job show the others.
import { newID } from "./ulid.js";

const every = 10000; // ms; the server forgets after 30 s of silence
const page = newID();
let timer = 0;
let others = [];

export function start() {
  document.addEventListener("witnessmark:here", (e) => {
    others = e.detail.filter((p) => p.page !== page);
    show();
  });
  document.addEventListener("witnessmark:refreshed", show);
  const form = document.getElementById("reading");
  if (!form) return;
  const say = () => tell(form, false);
  const look = () => {
    clearInterval(timer);
    if (document.hidden) return tell(form, true);
    say();
    timer = setInterval(say, every);
  };
  document.addEventListener("visibilitychange", look);
  document.addEventListener("witnessmark:moved", say);
  addEventListener("online", say);
  addEventListener("pageshow", (e) => e.persisted && look());
  addEventListener("pagehide", () => tell(form, true));
  look();
}

function tell(form, gone) {
  if (!navigator.onLine) return;
  const body = new URLSearchParams({ page, position: form.elements.position.value, phase: form.elements.phase.value });
  if (gone) body.set("gone", "1");
  fetch(form.dataset.job + "/here", { method: "POST", body, keepalive: gone }).catch(() => {}); // it is said again soon
}

const names = (list) => [...new Set(list.map((p) => p.name))].join(" and ");

function show() {
  for (const cell of document.querySelectorAll("[data-here]")) {
    const who = others.filter((p) => String(p.position) === cell.dataset.here);
    const text = who.length > 0 ? `${names(who)} ${who.length > 1 ? "are" : "is"} here` : "";
    if (cell.textContent !== text) cell.textContent = text;
  }
  const also = document.getElementById("also-here");
  if (!also) return;
  const at = document.getElementById("reading").elements.position.value;
  const who = others.filter((p) => String(p.position) === at);
  also.hidden = who.length === 0;
  also.textContent = who.length > 0 ? `${names(who)} ${who.length > 1 ? "are" : "is"} at this position too.` : "";
}
