// SPDX-License-Identifier: Apache-2.0
// The last copies of pages on this tablet, for when the server does not answer.
// They belong to one person: with anybody else, or nobody, they go.
import { newID } from "./ulid.js";

const copies = "witnessmark-copies";
const whose = "witnessmark.copies.of";

export function start() {
  if (document.documentElement.dataset.copy) asCopy();
  if (!navigator.serviceWorker || !self.caches) return; // plain HTTP on a network has neither
  const person = document.querySelector("a.person")?.dataset.person || "";
  if (localStorage.getItem(whose) !== person) {
    localStorage.setItem(whose, person);
    caches.delete(copies);
  }
  if (person) navigator.serviceWorker.register("/sw.js").catch(() => {}); // it works without
}

// asCopy makes a copy fit to be entered into: its forms were sent before, so
// each gets a new name.
function asCopy() {
  for (const form of document.querySelectorAll("form[data-queue]")) form.elements.id.value = newID();
  const said = Object.assign(document.createElement("p"), { className: "notice", textContent: "The server does not answer. This is the last copy on this tablet: what is entered waits here." });
  document.getElementById("main").prepend(said);
  document.querySelector(".entry .kept")?.remove();
}
