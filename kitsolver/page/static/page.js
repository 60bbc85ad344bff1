"use strict";

// The page works without this file. With it, a change swaps parts of the page in place, and the
// slider goes along the rungs while it is moved.

const PARTS = ["top", "told", "supply", "table", "ladder", "held", "colours", "kit", "ask", "side", "along"];
const notice = () => document.getElementById("notice");

document.documentElement.classList.add("scripted");

let asked = 0;

// How long a question may take until its place in line is asked for, in milliseconds.
const PATIENCE = 1000;

async function fetched(url) {
  const number = ++asked;
  const ticket = crypto.randomUUID();
  let answered = false;
  const waiting = setInterval(async () => {
    const place = await placeInLine(ticket);
    if (!answered && number === asked) tell(place);
  }, PATIENCE);
  let text;
  let answer;
  try {
    answer = await fetch(url, { headers: { Accept: "text/html", "X-Ticket": ticket } });
    text = await answer.text();
  } catch {
    tell(notice().dataset.notServed);
    return null;
  } finally {
    answered = true;
    clearInterval(waiting);
  }
  // Of several changes in a row only the last counts.
  if (number !== asked) return null;
  return { there: new DOMParser().parseFromString(text, "text/html"), url: answer.url };
}

async function placeInLine(ticket) {
  try {
    return await (await fetch(`/line/${ticket}`)).text();
  } catch {
    // The question itself tells that the page is not served.
    return "";
  }
}

function tell(text) {
  const place = notice();
  place.textContent = text;
  place.hidden = !text;
}

function swap(there, parts) {
  const focused = document.activeElement?.id;
  for (const id of parts) {
    const here = document.getElementById(id);
    const next = there.getElementById(id);
    if (here && next) {
      const open = [...here.querySelectorAll("details[open]")].map((one) => one.id).filter(Boolean);
      here.replaceWith(document.importNode(next, true));
      for (const one of open) document.getElementById(one)?.setAttribute("open", "");
    }
  }
  document.title = there.title;
  if (focused && document.activeElement?.id !== focused) document.getElementById(focused)?.focus();
}

async function visit(url, { push = true } = {}) {
  document.body.setAttribute("aria-busy", "true");
  const found = await fetched(url);
  document.body.removeAttribute("aria-busy");
  if (!found) return;
  const { there } = found;
  // A view with other parts, such as one that tells what is wrong, is shown whole.
  if (!there.getElementById("kit") || !document.getElementById("kit")) {
    const main = there.getElementById("main");
    const trouble = there.getElementById("answer");
    if (trouble && there.querySelector("#answer[role=alert]")) {
      tell(trouble.textContent.trim());
      return;
    }
    if (!main) return;
    document.getElementById("top").replaceWith(document.importNode(there.getElementById("top"), true));
    document.getElementById("main").replaceWith(document.importNode(main, true));
    document.getElementById("foot").replaceWith(document.importNode(there.getElementById("foot"), true));
    document.title = there.title;
    document.getElementById("main").focus();
  } else {
    swap(there, PARTS);
  }
  tell("");
  if (push) history.pushState({}, "", found.url);
  later();
}

// The ladder takes longer than the kit, and is asked for when the kit is there.
async function later() {
  const place = document.querySelector("#ladder[data-later]");
  if (!place) return;
  const url = place.dataset.later;
  let answer;
  try {
    answer = await fetch(url);
  } catch {
    return;
  }
  if (!answer.ok) return;
  const there = new DOMParser().parseFromString(await answer.text(), "text/html");
  const now = document.querySelector("#ladder[data-later]");
  const next = there.getElementById("ladder");
  // Alone, the ladder shows all that it has; beside a kit that is folded.
  next?.querySelector("details")?.removeAttribute("open");
  if (now && next && now.dataset.later === url) now.replaceWith(document.importNode(next, true));
}

// The answer to a question about a thing opens where it was asked.
async function beside(url, asker) {
  document.body.setAttribute("aria-busy", "true");
  const found = await fetched(url);
  document.body.removeAttribute("aria-busy");
  const answer = found?.there.getElementById("answer");
  const place = asker.closest(".asked, form")?.querySelector(".answer");
  if (!answer || !place) return;
  const shown = document.importNode(answer, true);
  // Several answers may be open at once.
  shown.removeAttribute("id");
  place.replaceChildren(shown);
  place.scrollIntoView({ block: "nearest" });
  place.focus({ preventScroll: true });
}

function addressed(form) {
  return `${form.getAttribute("action")}?${new URLSearchParams(new FormData(form))}`;
}

document.addEventListener("click", (event) => {
  const thing = event.target.closest("svg a.thing");
  if (thing) {
    event.preventDefault();
    openLine(thing.dataset.sku);
    return;
  }
  const link = event.target.closest("a[data-swap], a[data-beside]");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey || event.button) return;
  event.preventDefault();
  if (link.dataset.beside === undefined) visit(link.href);
  else beside(link.href, link);
});

// A thing that is pointed at shows its line, and a line its thing.
function openLine(sku) {
  const line = document.getElementById(`d-${sku}`);
  if (!line) return;
  line.open = true;
  const summary = line.querySelector("summary");
  summary.scrollIntoView({ block: "center" });
  summary.focus({ preventScroll: true });
}

function point(event, pointed) {
  const sku = event.target.closest?.("[data-sku]")?.dataset.sku;
  if (!sku) return;
  for (const one of document.querySelectorAll(`[data-sku="${CSS.escape(sku)}"]`)) one.classList.toggle("pointed", pointed);
}
for (const name of ["mouseover", "focusin"]) document.addEventListener(name, (event) => point(event, true));
for (const name of ["mouseout", "focusout"]) document.addEventListener(name, (event) => point(event, false));

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.dataset.swap === undefined && form.dataset.beside === undefined) return;
  event.preventDefault();
  if (form.dataset.beside === undefined) visit(addressed(form));
  else beside(addressed(form), form);
});

// Along the ladder: a cap between two rungs gives the kit of the lower one.
let moving = false;
let wanted = null;

async function move() {
  if (moving) return;
  moving = true;
  while (wanted) {
    const url = wanted;
    wanted = null;
    const found = await fetched(url);
    if (found?.there.getElementById("kit")) {
      swap(found.there, ["top", "told", "supply", "table", "held", "colours", "kit"]);
      const there = found.there;
      const slider = document.getElementById("cap");
      const next = there.getElementById("cap");
      if (slider && next) slider.setAttribute("aria-valuetext", next.getAttribute("aria-valuetext"));
      for (const id of ["cap-told", "below", "above"]) {
        const one = document.getElementById(id);
        const other = there.getElementById(id);
        if (one && other) one.replaceWith(document.importNode(other, true));
      }
      const mark = there.querySelector("#ladder .cap");
      if (mark) document.querySelector("#ladder .cap")?.replaceWith(document.importNode(mark, true));
    }
  }
  moving = false;
}

document.addEventListener("input", (event) => {
  if (event.target.id !== "cap") return;
  wanted = addressed(event.target.form);
  move();
});

document.addEventListener("change", (event) => {
  if (event.target.id === "cap") visit(addressed(event.target.form));
});

document.addEventListener("keydown", (event) => {
  const slider = event.target;
  if (slider.id !== "cap") return;
  const up = event.key === "ArrowRight" || event.key === "ArrowUp";
  if (!up && event.key !== "ArrowLeft" && event.key !== "ArrowDown") return;
  event.preventDefault();
  const caps = slider.dataset.caps.split(" ");
  const now = Number(slider.value);
  const next = up ? caps.find((cap) => cap > now) : caps.findLast((cap) => cap < now);
  if (next === undefined) return;
  slider.value = next;
  slider.dispatchEvent(new Event("input", { bubbles: true }));
  slider.dispatchEvent(new Event("change", { bubbles: true }));
});

window.addEventListener("popstate", () => visit(location.href, { push: false }));

later();
