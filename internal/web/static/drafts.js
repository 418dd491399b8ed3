// SPDX-License-Identifier: Apache-2.0
// What was typed survives a reload by mistake, and leaving the page asks first.
// Drafts live as long as the tab and go when the form is kept.
const skip = new Set(["hidden", "password", "file", "submit", "button"]);

const fieldsOf = (form) => [...form.elements].filter((f) => f.name && !skip.has(f.type));
const forms = () => [...document.querySelectorAll("form[method=post]:not([data-nodraft])")];
const keyOf = (form) => `draft ${location.pathname} ${forms().indexOf(form)} ${form.getAttribute("action")}`;

const touched = new Set(); // forms in which something was typed and not sent

export function start() {
  const back = ["reload", "back_forward"].includes(performance.getEntriesByType("navigation")[0]?.type);
  for (const form of forms()) {
    if (back) restore(form);
    else sessionStorage.removeItem(keyOf(form));
    form.addEventListener("input", () => note(form));
    form.addEventListener("change", () => note(form));
    form.addEventListener("reset", () => forget(form));
    if (!form.dataset.queue) form.addEventListener("submit", () => forget(form));
  }
  addEventListener("beforeunload", (e) => {
    if ([...touched].some((form) => form.isConnected)) e.preventDefault();
  });
}

const written = (f) => /^(text|search|tel|url|email|number|textarea)$/.test(f.type) && f.value !== f.defaultValue;

function note(form) {
  const fields = fieldsOf(form);
  sessionStorage.setItem(keyOf(form), JSON.stringify(fields.map(stateOf)));
  if (fields.some(written)) touched.add(form);
  else touched.delete(form);
}

const stateOf = (f) => (f.type === "checkbox" || f.type === "radio" ? [f.name, f.value, f.checked] : [f.name, f.value]);

function restore(form) {
  let saved;
  try {
    saved = JSON.parse(sessionStorage.getItem(keyOf(form)) || "null");
  } catch {
    return; // another version of the page wrote it
  }
  const fields = fieldsOf(form);
  if (!saved || saved.length !== fields.length || saved.some(([name], i) => name !== fields[i].name)) return;
  saved.forEach(([, value, checked], i) => {
    if (checked === undefined) fields[i].value = value;
    else fields[i].checked = checked;
  });
}

// forget is for a form that was sent, or is kept to be sent.
export function forget(form) {
  touched.delete(form);
  sessionStorage.removeItem(keyOf(form));
}

// fill puts a sent body back into the form that it came from.
export function fill(form, body) {
  const values = new URLSearchParams(body);
  for (const f of fieldsOf(form)) {
    if (f.type === "checkbox" || f.type === "radio") f.checked = values.getAll(f.name).includes(f.value);
    else if (values.has(f.name)) f.value = values.get(f.name);
  }
  for (const event of ["input", "change"]) for (const f of fieldsOf(form)) f.dispatchEvent(new Event(event, { bubbles: true }));
}
