// SPDX-License-Identifier: Apache-2.0
// One tap for a list of boxes that were all looked at: fieldset[data-all].
export function start() {
  for (const set of document.querySelectorAll("fieldset[data-all]")) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = set.dataset.all;
    button.addEventListener("click", () => {
      for (const box of set.querySelectorAll("input[type=checkbox]:not(:disabled)")) box.checked = true;
      set.dispatchEvent(new Event("change", { bubbles: true }));
    });
    set.append(button);
  }
}
