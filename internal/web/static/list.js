// SPDX-License-Identifier: Apache-2.0
// The entries that wait for the network, in order, in this browser. Each names
// the person who made it and carries its id: sent twice, it counts once.
import { drop } from "./files.js";

const key = "witnessmark.waiting";

export function load() {
  try {
    return JSON.parse(localStorage.getItem(key) || "[]");
  } catch {
    return [];
  }
}

const save = (items) => localStorage.setItem(key, JSON.stringify(items));

// add says whether the browser kept the item.
export function add(item) {
  const items = load();
  if (items.some((i) => i.id === item.id)) return true;
  try {
    save([...items, item]);
    return true;
  } catch {
    return false; // no room, or storage is switched off
  }
}

// Each change reads the list anew: another tab may have changed it meanwhile.
export function remove(id) {
  save(load().filter((i) => i.id !== id));
  drop(id);
}
export const update = (id, changes) => save(load().map((i) => (i.id === id ? { ...i, ...changes } : i)));

// waits are those that go out by themselves.
export const waits = () => load().filter((i) => i.state === "waits");
