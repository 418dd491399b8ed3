// SPDX-License-Identifier: Apache-2.0
// Sends one entry and says what became of it: kept, refused, log-in or waits.
// What is sent again later counts once.
const patience = 15000; // ms
const patienceWithFiles = 120000;

export async function send(item, files = null) {
  let answer;
  try {
    answer = await fetch(item.url, {
      method: "POST",
      body: files || new URLSearchParams(item.body),
      headers: { Accept: "application/json" },
      signal: AbortSignal.timeout(files ? patienceWithFiles : patience),
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
