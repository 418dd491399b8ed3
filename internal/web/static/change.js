// SPDX-License-Identifier: Apache-2.0
// A choice that acts at once: its form is sent when it changes.
export function start() {
  for (const select of document.querySelectorAll('select[data-submit="change"]')) {
    const button = select.form.querySelector("button");
    if (button) button.hidden = true;
    select.addEventListener("change", () => select.form.requestSubmit());
  }
}
