// SPDX-License-Identifier: Apache-2.0
// A grid of readings: Enter and the arrows go from cell to cell, so that a
// gauge that types sends one reading after the other. Enter in the last cell
// sends the form.
export function start() {
  // The same Enter must not send the form from the cell that it went to.
  let moved = false;
  document.addEventListener("keypress", (e) => {
    if (e.key === "Enter" && moved) e.preventDefault();
    moved = false;
  });
  document.addEventListener("keydown", (e) => {
    const table = e.target.closest?.("[data-grid]");
    if (!table || e.ctrlKey || e.metaKey || e.altKey) return;
    const cells = [...table.querySelectorAll("input")];
    const width = table.querySelector("tbody tr").querySelectorAll("input").length;
    const at = cells.indexOf(e.target);
    let to = -1;
    if (e.key === "Enter") {
      // Down a plane, then on to the next one.
      const height = cells.length / width;
      const n = (at % width) * height + Math.floor(at / width) + 1;
      if (n >= cells.length) return;
      to = (n % height) * width + Math.floor(n / height);
    } else if (e.key === "ArrowDown") to = at + width;
    else if (e.key === "ArrowUp") to = at - width;
    if (to < 0 || to >= cells.length) return;
    e.preventDefault();
    moved = e.key === "Enter";
    cells[to].focus();
    cells[to].select();
  });
}
