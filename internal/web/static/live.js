// SPDX-License-Identifier: Apache-2.0
// Live pages: when something is kept that bears on this job, by whomever, the
// parts marked data-live are fetched anew. The stream ends while the page is
// hidden and goes on after the last change that was heard of.
import { morph } from "./morph.js";

const again = 3000; // ms after the server turned the stream away
let source = null;
let heard = "";
let url;
let fetching = false;
let stale = false;
let owed = false; // something was heard of that the page does not show yet
let later = 0; // a page could not be fetched and is asked for again

export function start() {
  const main = document.getElementById("main");
  if (!main?.dataset.events) return;
  url = new URL(main.dataset.events, location.href);
  heard = url.searchParams.get("after");
  document.addEventListener("visibilitychange", connect);
  document.addEventListener("witnessmark:sent", refresh);
  addEventListener("online", () => {
    connect();
    if (owed) refresh(); // the stream may have outlived the network
  });
  addEventListener("pageshow", connect);
  addEventListener("pagehide", close);
  connect();
}

function close() {
  clearTimeout(later);
  source?.close();
  source = null;
}

function connect() {
  if (document.hidden) return close();
  if (source && source.readyState !== EventSource.CLOSED) return;
  url.searchParams.set("after", heard);
  source = new EventSource(url);
  source.addEventListener("entry", (e) => {
    heard = e.lastEventId;
    refresh();
  });
  source.addEventListener("here", (e) => document.dispatchEvent(new CustomEvent("witnessmark:here", { detail: JSON.parse(e.data) })));
  source.addEventListener("open", () => {
    document.documentElement.dataset.live = "yes";
    if (owed) refresh(); // after a sleep, or logged in again
  });
  source.addEventListener("error", (e) => {
    delete document.documentElement.dataset.live;
    if (e.target.readyState === EventSource.CLOSED) setTimeout(connect, again);
  });
}

// refresh fetches the page once however many changes came meanwhile.
async function refresh() {
  clearTimeout(later);
  owed = stale = true;
  if (fetching || !document.querySelector("[data-live]")) return;
  fetching = true;
  while (stale) {
    stale = false;
    owed = !(await swap());
  }
  fetching = false;
}

// swap says whether the page now shows what is kept. It is not asked for again
// by itself where the answer is to log in, or while nobody looks.
async function swap() {
  const place = location.pathname;
  let page;
  try {
    const answer = await fetch(location.href, { headers: { Accept: "text/html" }, signal: AbortSignal.timeout(5 * again) });
    if (answer.status >= 500) throw new Error("not now");
    if (!answer.ok || answer.redirected) return false;
    page = new DOMParser().parseFromString(await answer.text(), "text/html");
  } catch {
    if (!document.hidden) later = setTimeout(refresh, again);
    return false;
  }
  if (place !== location.pathname) return true; // gone on to another position
  const focused = document.activeElement;
  for (const part of document.querySelectorAll("[data-live]")) {
    const fresh = page.querySelector(`[data-live="${CSS.escape(part.dataset.live)}"]`);
    if (fresh) morph(part, fresh);
  }
  if (focused !== document.activeElement && focused.isConnected) focused.focus({ preventScroll: true });
  document.dispatchEvent(new CustomEvent("witnessmark:refreshed", { detail: page }));
  return true;
}
