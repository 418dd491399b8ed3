// SPDX-License-Identifier: Apache-2.0
// Sends the forms that make entries: form[data-queue]. What the server refuses
// is sent once more as an ordinary form, so that the page comes back with the
// reason and what was typed; what does not reach it is kept here and goes out
// later.
import * as list from "./list.js";
import * as photos from "./files.js";
import { flush, show } from "./waiting.js";
import { send } from "./send.js";
import { forget } from "./drafts.js";
import { deviceTime } from "./clock.js";
import { newID } from "./ulid.js";

export function start() {
  document.addEventListener("submit", (e) => {
    const form = e.target;
    if (!form.matches("form[data-queue]")) return;
    e.preventDefault();
    if (!form.dataset.sending) submit(form, e.submitter);
  });
}

async function submit(form, button) {
  const item = itemOf(form, button);
  const files = filesOf(form);
  item.photos = files.length;
  busy(form, true);
  await flush(); // what waits goes first
  const answer = list.waits().length > 0 ? { state: "waits" } : await send(item, files);
  if (answer.state === "kept") return goOn(form, answer.location);
  if (answer.state === "refused") return asOrdinary(form, button);
  if (files.length > 0 && !(await photos.keep(item.id, files))) {
    busy(form, false);
    return tell(form, "The photo could not be sent, and the browser has no room to keep it. Nothing is lost: leave this page open and send it again when the network is back, or take the photo out and keep the rest now. " + (answer.reason || ""));
  }
  const kept = list.add({ ...item, state: answer.state, reason: answer.reason || "" });
  busy(form, false);
  if (!kept) photos.drop(item.id);
  if (!kept) return tell(form, "This could not be sent, and the browser has no room to keep it. Leave the page open and send it again, or write it down.");
  keptHere(form, button);
}

function dataOf(form, button) {
  const data = new FormData(form);
  if (button?.name) data.append(button.name, button.value);
  return data;
}

// filesOf is the files that were chosen, as [field, File]: they go with the
// entry or not at all. An empty field for one is as good as none.
const filesOf = (form) => [...form.querySelectorAll("input[type=file]")].flatMap((f) => [...f.files].map((file) => [f.name, file]));

function itemOf(form, button) {
  if (!form.elements.id.value) form.elements.id.value = newID();
  // What is sent again under the same id says the same, its time too.
  if (form.dataset.timed !== form.elements.id.value) form.elements.device_time.value = deviceTime();
  form.dataset.timed = form.elements.id.value;
  const time = form.elements.device_time.value;
  const body = new URLSearchParams([...dataOf(form, button)].filter(([, value]) => typeof value === "string"));
  const person = document.querySelector("a.person");
  return {
    id: form.elements.id.value,
    url: form.getAttribute("action"),
    body: body.toString(),
    label: form.dataset.queue,
    said: form.matches("#reading") ? document.getElementById("readback").textContent.replace(/^[^:]*: |\.$/g, "") : "",
    time,
    person: form.elements.as?.value || person?.dataset.person || "",
    name: person?.dataset.name || "",
    page: location.pathname + location.search,
    state: "waits",
    reason: "",
  };
}

// While it is sent, its buttons are off: a double tap counts once.
function busy(form, on) {
  if (on) form.dataset.sending = "yes";
  else delete form.dataset.sending;
  for (const b of form.querySelectorAll("button")) b.disabled = on;
}

function goOn(form, place) {
  forget(form);
  if (form.dataset.instead) list.remove(form.dataset.instead);
  const to = new URL(place, location.href);
  const same = to.pathname + to.search === location.pathname + location.search;
  location.assign(to);
  if (same && to.hash) location.reload(); // a place on this page: it has something new on it
}

function asOrdinary(form, button) {
  forget(form);
  if (button?.name) form.append(Object.assign(document.createElement("input"), { type: "hidden", name: button.name, value: button.value }));
  HTMLFormElement.prototype.submit.call(form);
}

function keptHere(form, button) {
  if (form.dataset.instead) list.remove(form.dataset.instead);
  delete form.dataset.instead;
  form.reset();
  forget(form);
  form.elements.id.value = newID();
  // A form of buttons alone would say the same thing once more.
  if (!form.querySelector("input:not([type=hidden]), select, textarea")) for (const b of form.querySelectorAll("button")) b.disabled = true;
  show();
  form.dispatchEvent(new CustomEvent("witnessmark:waits", { bubbles: true, detail: { stay: button?.name === "stay" } }));
}

function tell(form, text) {
  form.querySelector(":scope > .problem")?.remove();
  const p = Object.assign(document.createElement("p"), { className: "problem", textContent: text });
  p.setAttribute("role", "alert");
  form.prepend(p);
}
