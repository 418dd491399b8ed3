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

// said is "Bo is here", "Bo and Ada are here", or nothing.
function said(who, where) {
  const names = [...new Set(who.map((p) => p.name))];
  if (names.length === 0) return "";
  return `${names.join(" and ")} ${names.length > 1 ? "are" : "is"} ${where}`;
}

function show() {
  for (const cell of document.querySelectorAll("[data-here]")) {
    const text = said(others.filter((p) => String(p.position) === cell.dataset.here), "here");
    if (cell.textContent !== text) cell.textContent = text;
  }
  for (const row of document.querySelectorAll("tr.who")) row.hidden = !row.querySelector("td:not(:empty)");
  const also = document.getElementById("also-here");
  if (!also) return;
  const at = document.getElementById("reading").elements.position.value;
  also.textContent = said(others.filter((p) => String(p.position) === at), "at this position too");
  also.hidden = also.textContent === "";
  if (!also.hidden) also.textContent += ".";
}
