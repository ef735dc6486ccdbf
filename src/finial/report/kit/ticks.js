// Keeps what was ticked and initialled, by the revision of the sheet; what cannot be kept is only forgotten.
"use strict";
(function () {
  const key = "kit " + document.body.dataset.revision;
  const boxes = Array.from(document.querySelectorAll("[data-kept]"));

  function load() {
    try { return JSON.parse(window.localStorage.getItem(key) || "{}"); } catch (error) { return {}; }
  }
  function keep() {
    const now = {};
    for (const one of boxes) now[one.dataset.kept] = one.type === "checkbox" ? one.checked : one.value;
    try { window.localStorage.setItem(key, JSON.stringify(now)); } catch (error) { /* private window */ }
    count();
  }
  function count() {
    const ticks = boxes.filter((one) => one.type === "checkbox");
    document.getElementById("done").textContent = ticks.filter((one) => one.checked).length + " of " + ticks.length + " done";
  }
  const before = load();
  for (const one of boxes) {
    const was = before[one.dataset.kept];
    if (was !== undefined) { if (one.type === "checkbox") one.checked = was === true; else one.value = String(was); }
    one.addEventListener("input", keep);
  }
  document.getElementById("clear").addEventListener("click", function () {
    for (const one of boxes) { if (one.type === "checkbox") one.checked = false; else one.value = ""; }
    keep();
  });
  count();
})();
