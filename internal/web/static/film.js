// SPDX-License-Identifier: Apache-2.0
// Steps through the working cycle: a slider and play move the journal in its
// clearance, the load and a line over the film. Without script the page has a
// few fixed steps. While films are still computed the page looks again, and
// takes over what is new without touching the slider.
const ns = "http://www.w3.org/2000/svg";
const pause = 2000; // ms until the page looks again

export function start() {
  document.addEventListener("witnessmark:refreshed", (e) => takeOver(e.detail));
  step();
  lookAgain();
}

let timer = 0;

function lookAgain() {
  clearTimeout(timer);
  if (document.querySelector("[data-unfinished]")) timer = setTimeout(() => document.dispatchEvent(new Event("witnessmark:sent")), pause);
}

// takeOver puts the first films in place of the wait, and other films in place
// of these; the rest of the page is live like any other.
function takeOver(page) {
  const waits = document.querySelector("[data-live=film-waits]");
  const film = document.querySelector("[data-film]");
  const fresh = page.querySelector("[data-film]");
  if (waits && fresh) {
    waits.replaceWith(...[...page.querySelectorAll("main > section")].map((n) => document.importNode(n, true)));
    step();
  } else if (film && fresh && film.dataset.film !== fresh.dataset.film) {
    film.replaceWith(document.importNode(fresh, true));
    step();
  }
  lookAgain();
}

function step() {
  const film = document.querySelector("[data-film]");
  const stepper = film?.querySelector("[data-stepper]");
  if (!stepper) return;
  const { Areas, Steps } = JSON.parse(film.dataset.film);
  const dots = { o: dot(film, "orbit"), l: dot(film, "load") };
  const cycles = [...film.querySelectorAll("[data-moves=cycle] svg")];
  const lines = cycles.map((svg, i) => shape(svg, "line", { y1: Areas[i][1], y2: Areas[i][3], class: "st-act", "stroke-width": 2 }));
  const slider = stepper.querySelector("input");
  const words = stepper.querySelector("[data-words]");
  const play = stepper.querySelector("[data-play]");
  let timer = 0;

  function show() {
    const s = Steps[+slider.value];
    for (const [k, d] of Object.entries(dots)) {
      d.setAttribute("cx", s[k][0]);
      d.setAttribute("cy", s[k][1]);
    }
    lines.forEach((line, i) => {
      const x = Areas[i][0] + s.c * (Areas[i][2] - Areas[i][0]);
      line.setAttribute("x1", x);
      line.setAttribute("x2", x);
    });
    words.textContent = s.w;
    slider.setAttribute("aria-valuetext", s.w);
  }
  function stop() {
    clearInterval(timer);
    timer = 0;
    play.textContent = "Play";
  }
  slider.addEventListener("input", () => {
    stop();
    show();
  });
  play.addEventListener("click", () => {
    if (timer) return stop();
    play.textContent = "Pause";
    timer = setInterval(() => {
      slider.value = (+slider.value + 1) % Steps.length;
      show();
    }, 60);
  });
  stepper.hidden = false;
  film.querySelector("[data-fixed]").hidden = true;
  show();
}

function dot(film, figure) {
  return shape(film.querySelector(`[data-moves=${figure}] svg`), "circle", { r: 8, class: "fi-act" });
}

function shape(svg, tag, attributes) {
  const e = document.createElementNS(ns, tag);
  for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, v);
  svg.append(e);
  return e;
}
