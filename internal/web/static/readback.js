// SPDX-License-Identifier: Apache-2.0
// The read-back: the reading alone, repeated as it was understood, before it
// counts. Bars are put into words here, from the scale's own digits; a typed
// value is for the server to understand. No verdict until it is kept.
const patience = 350; // ms of rest before a typed value is asked about

let asked = 0; // the newest question; older answers are dropped
let timer = 0;

export function start() {
  const form = document.getElementById("reading");
  if (!form || !form.elements.typed) return;
  form.elements.look.remove(); // with script the read-back needs no page of its own
  form.addEventListener("input", (e) => {
    if (e.target.name === "typed" && e.target.value) clearBars(form);
    if (e.target.type === "checkbox" && e.target.closest("[data-bars]") && e.target.checked) form.elements.typed.value = "";
  });
  form.addEventListener("input", (e) => e.target.type !== "checkbox" && show(form));
  // After "change" the bars have settled. Leaving a typed field changes nothing:
  // the button that is being tapped must not move away.
  form.addEventListener("change", (e) => e.target.type === "checkbox" && queueMicrotask(() => show(form)));
  show(form);
}

export function clearBars(form) {
  for (const box of form.querySelectorAll("[data-bars] :checked")) box.checked = false;
}

export function show(form) {
  clearTimeout(timer);
  asked++;
  const typed = form.elements.typed.value.trim();
  const where = `Position ${form.elements.position.value}, as ${form.elements.phase.value}: `;
  const words = barWords(form);
  if (words) return say(where + words + ".");
  if (!typed) return say(where + "nothing entered yet.");
  say(where + "…", "soft");
  timer = setTimeout(() => ask(form, where, typed), patience);
}

function say(text, state = "") {
  const p = document.getElementById("readback");
  if (p.textContent !== text) p.textContent = text;
  p.className = state;
}

// The words of the server, for bars: a test holds them side by side.
export function barWords(form) {
  const front = scaleWords(form.querySelector('[data-bars="bar"]'));
  const rear = scaleWords(form.querySelector('[data-bars="rear"]'));
  if (!front) return "";
  let words = rear ? `front ${front}, rear ${rear}` : front;
  if (form.elements.crank_moved.checked) words += "; the crank moved, so it does not count";
  return words;
}

function scaleWords(scale) {
  if (!scale) return "";
  const all = [...scale.querySelectorAll("input")];
  const chosen = all.filter((b) => b.checked);
  if (chosen.length === 2) return `between ${chosen[0].value} and ${chosen[1].dataset.text}`;
  if (chosen.length !== 1) return "";
  const text = chosen[0].dataset.text;
  if (chosen[0] === all[0]) return text + " or less";
  if (chosen[0] === all[all.length - 1]) return text + " or more";
  return text;
}

async function ask(form, where, typed) {
  const mine = asked;
  const body = new URLSearchParams(new FormData(form));
  body.set("look", "1");
  let answer;
  let text = where + typed + ", as typed.";
  let state = "";
  try {
    answer = await fetch(form.action, { method: "POST", body, headers: { Accept: "application/json" }, signal: AbortSignal.timeout(4000) });
    const said = await answer.json();
    if (answer.ok) text = said.read_back;
    else if (answer.status === 422) [text, state] = [said.detail, "not-understood"];
  } catch {
    // Without the network it is repeated as it was typed.
  }
  if (mine === asked) say(text, state);
}
