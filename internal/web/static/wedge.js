// SPDX-License-Identifier: Apache-2.0
// A gauge that acts as a keyboard types wherever the focus is. On a page with a
// field for it, figures that would go nowhere go there.
export function start() {
  const field = document.getElementById("typed");
  if (!field) return;
  document.addEventListener("keydown", (e) => {
    const at = document.activeElement;
    const lost = at === document.body || at === null || at.id === "main" || at.type === "checkbox" || at.tagName === "SUMMARY";
    if (lost && /^[0-9.,]$/.test(e.key) && !e.ctrlKey && !e.metaKey && !e.altKey) field.focus();
  });
}
