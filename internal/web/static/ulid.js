// SPDX-License-Identifier: Apache-2.0
// Names for entries, so that one that is sent twice counts once: a ULID, ten
// letters of time and sixteen of chance.
const letters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

export function newID(now = Date.now()) {
  let time = "";
  for (let i = 0; i < 10; i++) {
    time = letters[now % 32] + time;
    now = Math.floor(now / 32);
  }
  const chance = crypto.getRandomValues(new Uint8Array(16));
  return time + Array.from(chance, (b) => letters[b % 32]).join("");
}
