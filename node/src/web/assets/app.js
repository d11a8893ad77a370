// Comfort for browsers that run scripts. Every page works without it.
"use strict";
(() => {
  const KEPT = "propagule-kept";
  const RETRY_MS = 15000;
  const token = () => document.getElementById("waiting").dataset.token ?? "";
  const kept = () => { try { return JSON.parse(localStorage.getItem(KEPT)) ?? []; } catch { return []; } };
  const keep = (all) => localStorage.setItem(KEPT, JSON.stringify(all));
  const make = (name, text, attributes = {}) => {
    const element = document.createElement(name);
    element.textContent = text;
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
    return element;
  };

  // Steppers: two big buttons beside each number; what is left over follows.
  const number = (input) => Math.max(0, Math.trunc(Number(input.value)) || 0);
  const stepped = (step, least, changed) => {
    const input = step.querySelector("input");
    const words = step.querySelector("label").textContent;
    const button = (sign, by, name) => {
      const made = make("button", sign, { type: "button", "aria-label": `${name}: ${words}` });
      made.addEventListener("click", () => {
        input.value = Math.max(least, number(input) + by);
        changed();
      });
      return made;
    };
    input.before(button("−", -1, "one less"));
    input.after(button("+", 1, "one more"));
  };
  const settle = (form) => {
    const base = Number(form.dataset.base);
    const inputs = [...form.querySelectorAll("[data-step] input")];
    const rest = inputs.find((input) => "rest" in input.dataset);
    const others = inputs.filter((input) => input !== rest).reduce((sum, input) => sum + number(input), 0);
    if (rest && !rest.dataset.typed) rest.value = Math.max(0, base - others);
    const sum = others + (rest ? number(rest) : 0);
    // Why is asked only where something died or was lost.
    const causes = form.querySelector("[data-causes]");
    if (causes) causes.hidden = ![...form.querySelectorAll("[data-step=dead] input, [data-step=lost] input")].some((input) => number(input) > Number(input.dataset.from)) && !form.querySelector("#problem");
    const line = form.querySelector("[data-sum]");
    if (line) {
      const parts = inputs.map(number);
      const how = sum === base ? "all accounted for" : sum < base ? `${base - sum} of ${base} missing` : `${sum - base} more than the ${base} that were left`;
      line.textContent = `${parts.join(" + ")} = ${sum}, ${how}`;
    }
    // The tray mirrors each tap.
    const fates = inputs.flatMap((input) => Array(Math.min(number(input), base)).fill(input.closest("[data-step]").dataset.step));
    form.querySelectorAll("[data-tray] use").forEach((use, at) => use.setAttribute("href", `#fate-${fates[at] ?? "uncounted"}`));
  };
  for (const form of document.querySelectorAll("form[data-base]")) {
    for (const step of form.querySelectorAll("[data-step]")) {
      const input = step.querySelector("input");
      stepped(step, 0, () => {
        if ("rest" in input.dataset) input.dataset.typed = "yes";
        settle(form);
        form.dispatchEvent(new Event("settled"));
      });
      step.classList.remove("plainly");
      input.addEventListener("focus", () => input.select());
      input.addEventListener("input", () => {
        if ("rest" in input.dataset) input.dataset.typed = "yes";
        settle(form);
        form.dispatchEvent(new Event("settled"));
      });
    }
    // Keys add one, with Shift they take one away, only while the focus is inside the place.
    form.addEventListener("keydown", (event) => {
      const step = [...form.querySelectorAll("[data-key]")].find((one) => one.dataset.key === event.key.toLowerCase());
      if (!step || event.ctrlKey || event.altKey || event.metaKey || /^(TEXTAREA|SELECT)$/.test(event.target.tagName) || (event.target.tagName === "INPUT" && !event.target.closest("[data-step]"))) return;
      event.preventDefault();
      step.querySelector(event.shiftKey ? "button" : "button:last-of-type").click();
    });
    // What was begun and not saved stays on this device.
    const draft = `propagule-begun:${form.getAttribute("action")}#${form.dataset.keep}`;
    form.addEventListener("settled", () => {
      const values = Object.fromEntries([...form.querySelectorAll("[data-step] input")].map((input) => [input.name, input.value]));
      sessionStorage.setItem(draft, JSON.stringify(values));
    });
    const begun = JSON.parse(sessionStorage.getItem(draft) ?? "null");
    if (begun && !form.querySelector("#problem")) {
      for (const input of form.querySelectorAll("[data-step] input")) if (input.name in begun) input.value = begun[input.name];
      form.querySelectorAll("[data-rest]").forEach((input) => { input.dataset.typed = "yes"; });
      const place = form.closest("details.place");
      if (place) place.querySelector(".how").textContent = "begun";
    }
    form.addEventListener("submit", () => sessionStorage.removeItem(draft));
    settle(form);
  }

  // Setting up: what a size can show follows its numbers. A note is posted, never asked for in an address.
  const shows = document.querySelector("form.setup [data-shows]");
  if (shows) {
    const form = shows.closest("form");
    let last = 0;
    const follow = async () => {
      if (form.getAttribute("method") !== "get") return;
      const asked = ++last;
      const query = new URLSearchParams(new FormData(form));
      query.set("go", "look");
      try {
        const response = await fetch(`${form.getAttribute("action")}?${query}`);
        const page = new DOMParser().parseFromString(await response.text(), "text/html");
        const there = page.querySelector("[data-shows]");
        if (asked !== last || !response.ok || !there) return;
        shows.replaceChildren(...there.childNodes);
        document.querySelector("h1").textContent = page.querySelector("h1").textContent;
      } catch { /* no connection: the button asks again */ }
    };
    for (const step of form.querySelectorAll("[data-number]")) {
      step.firstElementChild.classList.add("step");
      stepped(step, 1, follow);
    }
    form.addEventListener("change", follow);
  }

  // A sheet of a check: one tap for each piece that died since the last look.
  for (const cell of document.querySelectorAll("[data-minus]")) {
    const input = cell.querySelector("input");
    const less = make("button", "−", { type: "button", "aria-label": `one died: ${input.getAttribute("aria-label")}` });
    less.addEventListener("click", () => {
      input.value = Math.max(0, (input.value === "" ? Number(cell.dataset.minus) : number(input)) - 1);
    });
    input.before(less);
  }

  // Entries go without leaving the page; those that find no connection are kept here, and arrive once.
  const send = async (entry) => {
    const body = new URLSearchParams(entry.body);
    body.set("token", token());
    const response = await fetch(entry.to, { method: "POST", body, headers: { accept: "application/json" }, redirect: "error" });
    const type = response.headers.get("content-type") ?? "";
    const said = type.startsWith("application/json") ? await response.json() : {};
    return { ok: response.ok, closed: response.status === 403, error: said.error ?? `the computer answered ${response.status}`, said };
  };
  let isSending = false;
  let isClosed = false;
  const show = () => {
    const box = document.getElementById("waiting");
    const all = kept();
    box.hidden = all.length === 0;
    box.replaceChildren();
    const state = document.getElementById("state");
    if (state) {
      state.dataset.saved ??= state.textContent;
      state.classList.toggle("kept", all.length > 0);
      state.textContent = all.length === 0 ? state.dataset.saved : `${navigator.onLine ? "" : "Offline, "}${all.length} kept here`;
    }
    if (all.length === 0) return;
    const words = all.length === 1 ? "1 entry is kept on this device" : `${all.length} entries are kept on this device`;
    box.append(make("p", `${words} and not saved at the computer yet.`));
    if (isClosed) box.append(make("p", "The computer knows this browser no longer: come in again, and they are sent."));
    for (const entry of all.filter((entry) => entry.error)) {
      const line = make("p", `${entry.label}: ${entry.error}. `);
      const drop = make("button", "Throw this entry away", { type: "button", class: "quiet" });
      drop.addEventListener("click", () => { keep(kept().filter((other) => other.once !== entry.once)); show(); });
      line.append(drop);
      box.append(line);
    }
    const again = make("button", "Send now", { type: "button" });
    again.addEventListener("click", flush);
    box.append(again);
  };
  const flush = async () => {
    if (isSending) return;
    isSending = true;
    try {
      for (const entry of kept()) {
        // Nobody may be there to be asked: what was kept is taken as it was written down.
        const result = await send({ ...entry, body: `${entry.body}&kept=yes` });
        isClosed = result.closed;
        if (isClosed) break;
        const error = result.ok ? undefined : result.error;
        keep(kept().flatMap((other) => (other.once !== entry.once ? [other] : error ? [{ ...other, error }] : [])));
        if (result.ok) mark(entry, result.said);
      }
    } catch { /* no connection yet: it stays kept */ }
    isSending = false;
    show();
  };
  const placeOf = (entry) => document.getElementById(`place-${entry.label}`);
  const state = (entry, words) => {
    const place = placeOf(entry);
    const how = place?.querySelector(".how");
    if (how) how.textContent = words;
    place?.classList.add("done");
    return place;
  };
  const mark = (entry, said) => {
    const stands = said.stands?.find((place) => place.place === entry.label);
    const rooted = stands?.rooted == null ? "" : `, ${stands.rooted} with roots`;
    const place = state(entry, stands ? `saved: ${stands.alive} alive${rooted}` : "saved");
    if (!place || !said.entry) return;
    const undo = make("button", `Undo ${entry.label}`, { type: "button", class: "quiet" });
    undo.addEventListener("click", async () => {
      try {
        const result = await send({ to: said.undo, body: `entry=${said.entry}` });
        if (result.ok) location.reload();
        else how(place, result.error);
      } catch { how(place, "no connection: undo it later"); }
    });
    place.querySelector("form")?.replaceChildren(make("p", said.new ? "Saved." : "This was saved before; nothing was changed."), undo);
  };
  const how = (place, words) => { place.querySelector(".how").textContent = words; };
  const placeCode = (place) => place.id.slice("place-".length);
  const next = (place) => {
    const all = [...document.querySelectorAll("details.place")];
    const behind = all.slice(all.indexOf(place) + 1).find((other) => !other.classList.contains("done"));
    place.open = false;
    document.querySelector(`.round [data-of="${CSS.escape(placeCode(place))}"]`)?.classList.add("done");
    const said = document.querySelector("[data-next]");
    said.hidden = false;
    said.textContent = `${placeCode(place)}: ${place.querySelector(".how").textContent}. ${behind ? said.dataset.next.replace("…", placeCode(behind)) : said.dataset.last}`;
    if (!behind) return;
    behind.open = true;
    behind.querySelector("summary").focus();
    behind.scrollIntoView({ block: "start" });
  };
  document.addEventListener("submit", async (event) => {
    const form = event.target;
    if (!form.dataset?.keep) return;
    event.preventDefault();
    const body = new URLSearchParams(new FormData(form));
    const entry = { to: form.getAttribute("action"), label: form.dataset.keep, once: body.get("once"), body: "" };
    body.delete("token");
    entry.body = body.toString();
    const place = form.closest("details.place");
    try {
      const result = await send(entry);
      isClosed = result.closed;
      if (!result.ok && !result.closed) { form.dataset.keep = ""; form.submit(); return; }
      if (result.ok) {
        if (!place) { location.assign(`${form.dataset.back}?${result.said.new ? "saved" : "again"}=${result.said.entry}`); return; }
        mark(entry, result.said);
        next(place);
        return;
      }
    } catch { /* no connection: kept below */ }
    keep([...kept().filter((other) => other.once !== entry.once), entry]);
    show();
    if (place) { state(entry, "kept on this device"); next(place); } else document.getElementById("waiting").scrollIntoView();
  });
  addEventListener("online", flush);
  setInterval(() => { if (kept().length > 0) flush(); }, RETRY_MS);
  show();
  if (kept().length > 0) flush();

  // Where there is room for it, what stands beside the answer is open.
  if (matchMedia("(min-width: 64rem)").matches) for (const fold of document.querySelectorAll("[data-beside] .card > details:only-child")) fold.open = true;

  // A table to bring in may be chosen as a file.
  for (const room of document.querySelectorAll("[data-file]")) {
    const choose = make("input", "", { type: "file", id: "file", accept: ".csv,.tsv,.txt,.xlsx,.ods,text/csv" });
    room.className = "field";
    room.append(make("label", "Choose a file", { for: "file" }), choose);
    choose.addEventListener("change", async () => {
      const file = choose.files[0];
      if (!file) return;
      const table = document.querySelector("textarea[name=table]");
      const begins = new Uint8Array(await file.slice(0, 2).arrayBuffer());
      // A workbook begins with PK, as every ZIP archive; it travels as text.
      if (begins[0] !== 0x50 || begins[1] !== 0x4b) table.value = await file.text();
      else {
        const reader = new FileReader();
        reader.addEventListener("load", () => { table.value = reader.result; });
        reader.readAsDataURL(file);
      }
    });
  }
  // A trial that was begun and left is found again.
  const BEGUN = "propagule-new";
  // A note is private: it never stands in an address, which histories and logs keep.
  const address = (fields) => { for (const name of ["note", "token", "go"]) fields.delete(name); return `?${fields}`; };
  if (location.pathname === "/bench/new" && location.search) sessionStorage.setItem(BEGUN, location.search);
  document.querySelector("form.setup")?.addEventListener("input", (event) => {
    sessionStorage.setItem(BEGUN, address(new URLSearchParams(new FormData(event.currentTarget))));
  });
  if (new URLSearchParams(location.search).has("new")) sessionStorage.removeItem(BEGUN);
  const begun = sessionStorage.getItem(BEGUN);
  for (const line of document.querySelectorAll("[data-begun]")) {
    if (!begun) continue;
    line.querySelector("a").href += begun;
    line.hidden = false;
  }
  document.getElementById("problem")?.focus();
})();
