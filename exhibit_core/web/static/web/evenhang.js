// Small helps on top of pages that work without them.
"use strict";

// Focus: what a new page or a swapped part asks for.
function focusWithin(part) {
  const wanted = "[data-focus], [autofocus]";
  const target = part.matches?.(wanted) ? part : part.querySelector?.(wanted);
  target?.focus();
}
focusWithin(document);
document.addEventListener("htmx:afterSettle", (event) => focusWithin(event.detail.elt));

// A long drawing begins where the first piece hangs, if that is out of sight.
function showFirst(part) {
  if (location.hash.startsWith("#w")) return;
  for (const box of part.querySelectorAll(".drawing-scroll")) {
    const first = box.querySelector(".hung");
    if (!first) continue;
    const before = first.getBoundingClientRect().left - box.getBoundingClientRect().left;
    if (before > box.clientWidth - 100) box.scrollLeft = before - 100;
  }
}
showFirst(document);
document.addEventListener("htmx:afterSettle", (event) => showFirst(event.detail.elt));

// A request that failed is said where messages stand.
function say(words) {
  const box = document.createElement("div");
  const line = document.createElement("p");
  box.className = "message message--error";
  line.textContent = words;
  box.append(line);
  document.getElementById("messages")?.replaceChildren(box);
}
document.addEventListener("htmx:sendError", () => {
  say("the program does not answer. Look at the connection and try again.");
});
document.addEventListener("htmx:responseError", (event) => {
  const refusals = {
    403: "your role does not let you do this, or the page was open too long. Reload it.",
    404: "it is no longer here. Reload the page.",
  };
  say(refusals[event.detail.xhr.status] ?? "something went wrong inside the program.");
});

// One tab stop for a group of [data-roving]; arrow keys, Home and End go between them.
const roving = (one) => {
  const group = one.closest("svg, ul, ol") ?? document;
  return [...group.querySelectorAll("[data-roving]")];
};
document.addEventListener("focusin", (event) => {
  if (!event.target.matches("[data-roving]")) return;
  for (const one of roving(event.target)) {
    one.setAttribute("tabindex", one === event.target ? "0" : "-1");
  }
});
document.addEventListener("keydown", (event) => {
  if (!event.target.matches("[data-roving]")) return;
  if (event.altKey || event.ctrlKey || event.metaKey) return;
  const all = roving(event.target);
  const here = all.indexOf(event.target);
  const last = all.length - 1;
  const to = {
    ArrowRight: Math.min(here + 1, last),
    ArrowDown: Math.min(here + 1, last),
    ArrowLeft: Math.max(here - 1, 0),
    ArrowUp: Math.max(here - 1, 0),
    Home: 0,
    End: last,
  }[event.key];
  if (to === undefined) return;
  event.preventDefault();
  all[to].focus();
});

// Tick every row of the page, and say how many are ticked.
const boxesNamed = (name) => [
  ...document.querySelectorAll(`input[type="checkbox"][name="${CSS.escape(name)}"]:not(:disabled)`),
];
function count(name) {
  const boxes = boxesNamed(name);
  const ticked = boxes.filter((box) => box.checked).length;
  for (const place of document.querySelectorAll(`[data-selected-count="${CSS.escape(name)}"]`)) {
    place.textContent = String(ticked);
  }
  for (const all of document.querySelectorAll(`[data-select-all="${CSS.escape(name)}"]`)) {
    all.checked = boxes.length > 0 && ticked === boxes.length;
    all.indeterminate = ticked > 0 && ticked < boxes.length;
  }
}
document.addEventListener("change", (event) => {
  const { name, checked, dataset, type } = event.target;
  if (dataset.selectAll) for (const box of boxesNamed(dataset.selectAll)) box.checked = checked;
  if (type === "checkbox") count(dataset.selectAll ?? name);
});

// Ask before leaving a form that was changed and not sent.
const changed = new Set();
document.addEventListener("input", (event) => {
  const form = event.target.closest("form[data-guard]");
  if (form) changed.add(form);
});
document.addEventListener("submit", (event) => changed.delete(event.target));
document.addEventListener("reset", (event) => changed.delete(event.target));
window.addEventListener("beforeunload", (event) => {
  if ([...changed].some((form) => form.isConnected)) event.preventDefault();
});
