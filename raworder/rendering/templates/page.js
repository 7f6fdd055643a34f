
"use strict";
const kept = "raworder " + document.documentElement.dataset.page;
const boxes = document.querySelectorAll("input[type=checkbox]");
const unfold = () => document.querySelector(":target")?.closest("details")?.setAttribute("open", "");
addEventListener("hashchange", unfold);
addEventListener("load", unfold);
try {
  const ticked = new Set(JSON.parse(localStorage.getItem(kept) ?? "[]"));
  for (const box of boxes) {
    box.checked = ticked.has(box.id);
    box.addEventListener("change", () => {
      ticked[box.checked ? "add" : "delete"](box.id);
      localStorage.setItem(kept, JSON.stringify([...ticked]));
    });
  }
} catch {
  // A browser that keeps nothing still shows ticks until the page is closed.
}
