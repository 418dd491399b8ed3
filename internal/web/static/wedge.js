// SPDX-License-Identifier: Apache-2.0
// A gauge or scanner that acts as a keyboard types wherever the focus is. On a
// page with a field for it, what would go nowhere goes there: figures, or any
// sign where the field takes codes.
export function start() {
  const field = document.getElementById("typed");
  if (!field) return;
  const fits = "any" in field.dataset ? /^.$/ : /^[0-9.,]$/;
  document.addEventListener("keydown", (e) => {
    const at = document.activeElement;
    const lost = at === document.body || at === null || at.id === "main" || at.type === "checkbox" || at.tagName === "SUMMARY";
    if (lost && fits.test(e.key) && !e.ctrlKey && !e.metaKey && !e.altKey) field.focus();
  });
}
