// SPDX-License-Identifier: Apache-2.0
// Makes one element like another, changing only what differs, so that focus,
// scrolling and what is typed stay.
export function morph(from, to) {
  if (from.isEqualNode(to)) return;
  if (from.nodeType !== Node.ELEMENT_NODE) {
    from.nodeValue = to.nodeValue;
    return;
  }
  attributes(from, to);
  if (!from.matches("input, textarea, select")) children(from, to);
}

// What a person changed on the page is theirs: open details stay open.
const theirs = new Set(["open"]);

function attributes(from, to) {
  for (const { name } of [...from.attributes]) if (!to.hasAttribute(name) && !theirs.has(name)) from.removeAttribute(name);
  for (const { name, value } of to.attributes) if (from.getAttribute(name) !== value && !theirs.has(name)) from.setAttribute(name, value);
}

// A form's own id hides behind a field of that name: the attribute does not.
const key = (n) => (n.nodeType === Node.ELEMENT_NODE ? n.getAttribute("id") || [n.dataset.code, n.dataset.position].filter(Boolean).join(" ") : "");
const alike = (a, b) => a.nodeName === b.nodeName && key(a) === key(b);

function children(from, to) {
  let at = from.firstChild;
  for (const next of [...to.childNodes]) {
    let match = at && alike(at, next) ? at : null;
    if (!match && key(next)) match = [...from.childNodes].find((n) => alike(n, next) && !before(n, at));
    if (!match) {
      from.insertBefore(document.importNode(next, true), at);
      continue;
    }
    if (match === at) at = at.nextSibling;
    else from.insertBefore(match, at);
    morph(match, next);
  }
  while (at) {
    const gone = at;
    at = at.nextSibling;
    gone.remove();
  }
}

const before = (n, at) => at === null || Boolean(n.compareDocumentPosition(at) & Node.DOCUMENT_POSITION_FOLLOWING);
