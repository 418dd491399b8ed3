// SPDX-License-Identifier: Apache-2.0
// The photos of entries that wait, by the entry's id, in this browser's
// database: the list of what waits has no room for them. An entry and its
// photos go out together or not at all.
const most = 64 * 1024 * 1024; // bytes of one entry; the server takes 20 MB a photo

const open = () =>
  new Promise((done, fail) => {
    const asked = indexedDB.open("witnessmark", 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore("files");
    asked.onsuccess = () => done(asked.result);
    asked.onerror = asked.onblocked = () => fail(asked.error);
  });

// store does one thing with the photos and answers when it is on the disk.
async function store(mode, what) {
  const db = await open();
  try {
    return await new Promise((done, fail) => {
      const t = db.transaction("files", mode, { durability: "strict" });
      const asked = what(t.objectStore("files"));
      t.oncomplete = () => done(asked.result);
      t.onerror = t.onabort = () => fail(t.error);
    });
  } finally {
    db.close();
  }
}

// keep says whether the browser kept the files that were chosen in a form.
export async function keep(id, files) {
  if (files.reduce((sum, [, f]) => sum + f.size, 0) > most) return false;
  try {
    const read = await Promise.all(files.map(async ([field, f]) => ({ field, name: f.name, type: f.type, bytes: await f.arrayBuffer() })));
    await store("readwrite", (s) => s.put(read, id));
    return true;
  } catch {
    return false; // no room, or no database
  }
}

// load is the files of an entry as [field, File]; null when they are gone.
export async function load(id) {
  try {
    const read = await store("readonly", (s) => s.get(id));
    return read ? read.map((f) => [f.field, new File([f.bytes], f.name, { type: f.type })]) : null;
  } catch {
    return null;
  }
}

export const drop = (id) => store("readwrite", (s) => s.delete(id)).catch(() => {});
