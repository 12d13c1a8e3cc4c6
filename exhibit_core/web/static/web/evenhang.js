// Small helps; every page works without them.
"use strict";

// After a swap, move the focus to the first error or to what asks for it.
document.addEventListener("htmx:afterSettle", (event) => {
  const target = event.detail.elt.querySelector?.("[data-focus], [autofocus]");
  if (target) target.focus();
});
document.addEventListener("DOMContentLoaded", () => document.querySelector("[data-focus]")?.focus());

// One tab stop for a drawing; arrow keys go between its pieces.
document.addEventListener("keydown", (event) => {
  const steps = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 };
  const here = event.target.closest?.("[data-roving]");
  if (!here || !(event.key in steps)) return;
  const all = [...here.closest("svg").querySelectorAll("[data-roving]")];
  const next = all[(all.indexOf(here) + steps[event.key] + all.length) % all.length];
  all.forEach((item) => item.setAttribute("tabindex", item === next ? "0" : "-1"));
  next.focus();
  event.preventDefault();
});

// Tick all rows of a page, and say how many are ticked.
document.addEventListener("change", (event) => {
  const all = event.target.closest?.("[data-select-all]");
  const name = all ? all.dataset.selectAll : event.target.name;
  if (!name) return;
  const boxes = [...document.querySelectorAll(`input[type=checkbox][name="${CSS.escape(name)}"]`)];
  if (all) boxes.forEach((box) => (box.checked = all.checked));
  const count = document.querySelector(`[data-selected-count="${CSS.escape(name)}"]`);
  if (count) count.textContent = String(boxes.filter((box) => box.checked).length);
});

// Ask before leaving a form that was changed and not sent.
const touched = new Set();
document.addEventListener("input", (event) => {
  const form = event.target.closest?.("form[data-guard]");
  if (form) touched.add(form);
});
document.addEventListener("submit", (event) => touched.delete(event.target));
window.addEventListener("beforeunload", (event) => {
  if ([...touched].some((form) => form.isConnected)) event.preventDefault();
});
