// SPDX-License-Identifier: Apache-2.0
// The tablet's time with its offset, as RFC 3339 writes it.
const two = (n) => String(n).padStart(2, "0");

export function deviceTime(t = new Date()) {
  const east = -t.getTimezoneOffset();
  const offset = (east < 0 ? "-" : "+") + two(Math.floor(Math.abs(east) / 60)) + ":" + two(Math.abs(east) % 60);
  return `${t.getFullYear()}-${two(t.getMonth() + 1)}-${two(t.getDate())}T${two(t.getHours())}:${two(t.getMinutes())}:${two(t.getSeconds())}${offset}`;
}
