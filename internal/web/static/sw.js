// SPDX-License-Identifier: Apache-2.0
// The service worker: when the server does not answer, a job or position page
// that is loaded anew comes from the last copy on this tablet. It keeps pages
// that were asked for with GET, nothing that was sent; copy.js throws the
// copies away when somebody else is at the tablet.
const copies = "witnessmark-copies";
const assets = "witnessmark-assets";
const kept = /^\/jobs\/[^/]+(\/position\/\d+\/(found|fitted))?$/;

addEventListener("install", () => skipWaiting());
addEventListener("activate", (e) => e.waitUntil(clients.claim()));

addEventListener("fetch", (e) => {
  const url = new URL(e.request.url);
  if (e.request.method !== "GET" || url.origin !== location.origin) return;
  if (url.pathname.startsWith("/static/")) e.respondWith(asset(e));
  else if (e.request.mode === "navigate" && kept.test(url.pathname)) e.respondWith(page(e, url.pathname));
});

async function page(e, path) {
  try {
    const answer = await fetch(e.request);
    if (answer.ok && answer.type === "basic" && !answer.redirected) {
      const copy = answer.clone();
      e.waitUntil(caches.open(copies).then((c) => c.put(path, copy)));
    }
    return answer;
  } catch (unreachable) {
    const copy = await nearest(path);
    if (copy) return marked(copy);
    throw unreachable;
  }
}

// nearest is the copy of the page, or that of another position of the same job
// and phase: its script goes on to the right one.
async function nearest(path) {
  const c = await caches.open(copies);
  const exact = await c.match(path);
  if (exact) return exact;
  const others = path.replace(/\/position\/\d+\//, "/position/N/");
  for (const r of (await c.keys()).reverse()) {
    if (new URL(r.url).pathname.replace(/\/position\/\d+\//, "/position/N/") === others) return c.match(r);
  }
}

async function marked(copy) {
  const html = (await copy.text()).replace("<html", '<html data-copy="yes"');
  const headers = new Headers(copy.headers);
  headers.delete("Content-Encoding");
  headers.delete("Content-Length");
  return new Response(html, { headers });
}

// An asset's path changes with its content.
async function asset(e) {
  const c = await caches.open(assets);
  const have = await c.match(e.request);
  if (have) return have;
  const answer = await fetch(e.request);
  if (answer.ok) {
    const copy = answer.clone();
    e.waitUntil(c.put(e.request, copy).then(() => prune(c, new URL(e.request.url).pathname.split("/")[2])));
  }
  return answer;
}

async function prune(c, stamp) {
  for (const r of await c.keys()) if (new URL(r.url).pathname.split("/")[2] !== stamp) await c.delete(r);
}
