// SPDX-License-Identifier: Apache-2.0
// Sends one entry and says what became of it: kept, refused, log-in or waits.
// What is sent again later counts once. Its files are [field, File].
const patience = 15000; // ms
const patienceWithFiles = 120000;

function bodyOf(item, files) {
  const fields = new URLSearchParams(item.body);
  if (files.length === 0) return fields;
  const form = new FormData();
  for (const [name, value] of [...fields, ...files]) form.append(name, value);
  return form;
}

export async function send(item, files = []) {
  let answer;
  try {
    answer = await fetch(item.url, {
      method: "POST",
      body: bodyOf(item, files),
      headers: { Accept: "application/json" },
      signal: AbortSignal.timeout(files.length > 0 ? patienceWithFiles : patience),
    });
  } catch {
    return { state: "waits", reason: "" };
  }
  let said;
  try {
    said = await answer.json();
  } catch {
    return { state: "waits", reason: "Something other than the workshop’s server answered." };
  }
  if (answer.ok && said.location) return { state: "kept", location: said.location };
  const reason = [said.title && said.title + ".", said.detail, said.next].filter(Boolean).join(" ");
  if (answer.status === 401) return { state: "log-in", reason };
  if (answer.status >= 400 && answer.status < 500 && answer.status !== 408 && answer.status !== 429) return { state: "refused", reason };
  return { state: "waits", reason };
}
