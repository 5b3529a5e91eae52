// What is ticked and typed on a card: kept in this browser alone, and put together as a command line.
for (const card of document.querySelectorAll("article[data-calculator]")) {
  const fields = [...card.querySelectorAll("input")], shown = card.querySelector(".typed");
  if (!shown) continue;
  const key = "baybook card " + card.id;
  const bare = /^[\d.,\s±+\u2212-]+$/, unsafe = /["`$\\!]/g;
  const read = () => { try { return JSON.parse(localStorage.getItem(key)) || {}; } catch { return {}; } };
  const write = (kept) => { try { localStorage.setItem(key, JSON.stringify(kept)); } catch { /* private browsing */ } };
  const values = () => {
    const found = new Map();
    for (const field of fields) {
      const name = field.dataset.input, ticked = field.type === "checkbox";
      if (!name || (ticked ? !field.checked : !field.value.trim())) continue;
      const typed = ticked ? field.value : field.value.trim().replace(unsafe, "");
      const unit = ticked || !bare.test(typed) ? "" : field.dataset.unit;
      found.set(name, [...(found.get(name) || []), unit ? typed + " " + unit : typed]);
    }
    return found;
  };
  const tell = () => {
    const parts = [...values()].map(([name, given]) => `--${name.replaceAll("_", "-")} "${given.join("; ")}"`);
    shown.textContent = ["baybook", card.dataset.calculator, ...parts].join(" ");
    write(Object.fromEntries(fields.map((f, place) => [place, f.type === "checkbox" ? f.checked : f.value])));
  };
  const kept = read();
  fields.forEach((field, place) => {
    if (field.type === "checkbox") field.checked = kept[place] === true;
    else field.value = kept[place] || field.defaultValue;
    field.addEventListener("input", tell);
  });
  card.querySelector(".copy").addEventListener("click", () => navigator.clipboard?.writeText(shown.textContent));
  card.querySelector(".clear").addEventListener("click", () => {
    for (const field of fields) { field.checked = false; if (field.type !== "checkbox") field.value = ""; }
    tell();
  });
  tell();
}
