// SPDX-License-Identifier: Apache-2.0
// Shows the entries that wait and sends them, in order, when the server
// answers again. One that is refused stays, with the reason.
import * as list from "./list.js";
import * as photos from "./files.js";
import { send } from "./send.js";
import { fill } from "./drafts.js";

const again = 4000; // ms between tries while something waits
let timer = 0;
let going = null;
let sent = 0; // since the page was loaded

const loggedIn = () => document.querySelector("a.person") !== null;

export function start() {
  addEventListener("online", flush);
  addEventListener("storage", show);
  reopen();
  show();
  if (list.load().length > 0) flush();
}

// flush sends what waits; calls meanwhile wait for the same run.
export function flush() {
  going ??= run().finally(() => {
    going = null;
    show();
  });
  return going;
}

async function run() {
  clearTimeout(timer);
  if (!loggedIn()) return;
  const mustLogIn = new Set();
  for (const item of list.load()) {
    if (item.state === "refused" || mustLogIn.has(item.person)) continue;
    const answer = await sendWhole(item);
    if (answer.state === "kept") {
      list.remove(item.id);
      sent++;
      document.dispatchEvent(new CustomEvent("witnessmark:sent"));
      show();
      continue;
    }
    list.update(item.id, { state: answer.state, reason: answer.reason });
    if (answer.state === "log-in") mustLogIn.add(item.person);
    if (answer.state === "waits") break; // the others come after it
  }
  if (list.waits().length > 0) timer = setTimeout(() => (navigator.onLine ? flush() : 0), again);
}

// sendWhole sends an entry with its photos, never without.
async function sendWhole(item) {
  const files = item.photos ? await photos.load(item.id) : [];
  if (!files) return { state: "refused", reason: "The photo that waited with it is no longer in this browser. Open the form again: take the photo once more, or keep the rest without it." };
  return send(item, files);
}

const el = (tag, props = {}, ...inside) => {
  const e = Object.assign(document.createElement(tag), props);
  e.append(...inside);
  return e;
};

export function show() {
  const box = document.getElementById("waiting");
  const items = list.load();
  box.hidden = items.length === 0 && sent === 0;
  if (box.hidden) return;
  const inside = [el("p", {}, el("strong", {}, headline(items)))];
  if (items.length > 0) inside.push(el("ol", {}, ...items.map(line)));
  box.classList.toggle("sent", items.length === 0);
  box.replaceChildren(...inside);
}

function headline(items) {
  const n = items.filter((i) => i.state !== "refused").length;
  const refused = items.length - n;
  const parts = [];
  if (n > 0) parts.push(`${n} ${n === 1 ? "entry waits" : "entries wait"} for the network. Nothing is lost.`);
  if (refused > 0) parts.push(`${refused} ${refused === 1 ? "entry was" : "entries were"} not taken.`);
  if (items.length === 0) parts.push(`${sent} ${sent === 1 ? "entry" : "entries"} went out. Nothing waits any more.`);
  return parts.join(" ");
}

function line(item) {
  const li = el("li", {}, el("span", { className: "label" }, item.label), el("small", {}, [item.said, item.photos && `with ${item.photos} ${item.photos === 1 ? "photo" : "photos"}`, item.name, item.time.slice(11, 16)].filter(Boolean).join(" · ")));
  if (item.reason) li.append(el("p", { className: "reason" }, item.reason));
  if (item.state === "log-in") {
    const to = `/login?person=${encodeURIComponent(item.person)}&next=${encodeURIComponent(location.pathname + location.search)}`;
    li.append(el("a", { className: "button", href: to }, `Log in as ${item.name}, then it goes out`));
  }
  if (item.state === "refused") li.append(el("div", { className: "row" }, openAgain(item), takeOut(item)));
  return li;
}

// openAgain puts what was typed back into its form.
function openAgain(item) {
  const button = el("button", { type: "button" }, "Open the form again");
  button.addEventListener("click", () => {
    sessionStorage.setItem("reopen", JSON.stringify(item));
    location.assign(item.page);
  });
  return button;
}

function reopen() {
  const item = JSON.parse(sessionStorage.getItem("reopen") || "null");
  if (!item || location.pathname !== new URL(item.page, location.href).pathname) return;
  sessionStorage.removeItem("reopen");
  const form = [...document.querySelectorAll("form[data-queue]")].find((f) => f.dataset.queue === item.label);
  if (!form) return;
  fill(form, item.body);
  if (item.photos) photos.load(item.id).then((files) => choose(form, files || []));
  form.dataset.instead = item.id; // once it is kept, the refused one goes
}

// choose puts photos back into the fields that they were chosen in.
function choose(form, files) {
  for (const field of form.querySelectorAll("input[type=file]")) {
    const chosen = new DataTransfer();
    for (const [name, file] of files) if (name === field.name) chosen.items.add(file);
    field.files = chosen.files;
  }
}

// takeOut asks first: what is taken out is in no record.
function takeOut(item) {
  const button = el("button", { type: "button" }, "Take it out");
  button.addEventListener("click", () => {
    if (button.dataset.asked) {
      list.remove(item.id);
      show();
      return;
    }
    button.dataset.asked = "yes";
    button.textContent = "Take it out for good: it is in no record";
  });
  return button;
}
