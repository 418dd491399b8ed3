// SPDX-License-Identifier: Apache-2.0
// On a phone the steps of the job run out of the screen: the present one shows.
export function start() {
  const here = document.querySelector(".tabs [aria-current]");
  const strip = here?.parentElement;
  if (strip) strip.scrollLeft = here.offsetLeft - (strip.clientWidth - here.offsetWidth) / 2;
}
