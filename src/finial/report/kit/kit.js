// The kit works from this file alone: no network, no storage that it needs. What cannot be kept is only forgotten.
(function () {
  const told = JSON.parse(document.getElementById("table").textContent);

  // Between two numbers of the table the worse of both counts; beyond its ends nothing is known.
  function around(list, value) {
    const close = list.findIndex((one) => Math.abs(one - value) < 1e-9);
    if (close >= 0) return [close];
    if (!(value > list[0] && value < list[list.length - 1])) return null;
    const above = list.findIndex((one) => one > value);
    return [above - 1, above];
  }
  const out = document.getElementById("answer");
  function show(role, head, lines) {
    out.className = "verdict " + role;
    out.textContent = "";
    const bold = document.createElement("b");
    bold.textContent = head;
    out.append(bold);
    const list = document.createElement("ul");
    for (const text of lines) { const item = document.createElement("li"); item.textContent = text; list.append(item); }
    out.append(list);
  }
  function ask() {
    const axes = told.axes.map((axis) => around(axis.values, Number(document.getElementById(axis.id).value)));
    const beyond = told.axes.filter((axis, at) => axes[at] === null).map((axis) => axis.name);
    if (beyond.length) { show("not-known", told.words.not_known, [told.words.beyond + " " + beyond.join(", ")]); return; }
    let worst = null;
    const fails = new Set();
    for (const mass of axes[0]) for (const balance of axes[1]) for (const wind of axes[2]) {
      const at = (mass * told.axes[1].values.length + balance) * told.axes[2].values.length + wind;
      const cell = told.cells[at];
      for (const one of cell.fails) fails.add(one);
      if (worst === null || cell.rank > worst.rank) worst = cell;
    }
    const lines = fails.size ? Array.from(fails) : [told.words.nothing];
    show(worst.role, worst.head, lines.concat(worst.numbers));
  }
  for (const axis of told.axes) document.getElementById(axis.id).addEventListener("input", ask);
  ask();
})();
