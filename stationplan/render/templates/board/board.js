(() => {
  "use strict";
  const one = (selector, within = document) => within.querySelector(selector);
  const all = (selector, within = document) => [...within.querySelectorAll(selector)];
  const shift = document.body.dataset.shift;
  const prefix = `tap ${shift} `;
  const glance = one("#glance");
  const panel = one("#panel");
  const RETRY = 3000, SILENCE = 25000, PATIENCE = 10000;
  let state = null;      // what the board last said
  let ahead = 0;         // milliseconds by which the shift's clock is ahead of this one
  let heard = 0;         // when it last said anything
  let source = null;
  let sending = false;
  let chosen = "";       // where the bar leads whose panel is open

  // The time: that of the board, so that a tablet whose clock is wrong records the right one.
  const minute = () => Math.floor((Date.now() + ahead) / 60000);
  const two = (number) => String(number).padStart(2, "0");

  function clock(minutes) {
    const day = Math.floor(minutes / 1440), rest = minutes - day * 1440;
    return `${day ? `day ${day + 1} ` : ""}${two(Math.floor(rest / 60))}:${two(rest % 60)}`;
  }

  // Taps wait in the browser's own store, each under a name of its own, until the board has recorded or refused them.
  const names = () => Object.keys(localStorage).filter((name) => name.startsWith(prefix)).sort();
  const waiting = () => names().map((name) => JSON.parse(localStorage.getItem(name))).filter(Boolean);
  const words = (tap) => tap.kind === "+5" ? `${tap.of} +5 min` : `${tap.kind} ${tap.of}`;

  function tap(kind, of) {
    if (!state) return;
    const key = [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
    const last = names().pop();
    const stamp = Math.max(Date.now(), last ? Number(last.slice(prefix.length).split(" ")[0]) + 1 : 0);
    const made = { key, shift, kind, of, at: minute(), who: one("#who").value };
    try {
      localStorage.setItem(`${prefix}${String(stamp).padStart(15, "0")} ${key}`, JSON.stringify(made));
    } catch {
      tell(`${words(made)} is not recorded: this browser has no room to keep it`);
      return;
    }
    mark();
    send();
  }

  async function send() {
    if (sending) return;
    sending = true;
    try {
      for (let [name] = names(); name; [name] = names()) {
        const made = JSON.parse(localStorage.getItem(name));
        if (!made) continue;  // another tab has sent it
        const answer = await fetch("/taps", {
          method: "POST",
          headers: { "Content-Type": "application/json" },
          body: JSON.stringify(made),
          signal: AbortSignal.timeout(PATIENCE),
        });
        const refused = answer.status === 409 || answer.status === 422;
        if (!answer.ok && !refused) {
          link(answer.status === 403 ? ANEW : `${await answer.text()}. Taps are kept here and sent again`, true);
          break;
        }
        const said = await answer.json();
        localStorage.removeItem(name);
        if (refused) tell(`${words(made)} at ${clock(made.at)} is not recorded: ${said.error}`);
        if (said.state) show(said.state);
      }
    } catch {
      lost();
    } finally {
      sending = false;
      mark();
    }
  }

  // What is shown.
  function show(next) {
    if (next.shift !== shift) return location.reload();
    ahead = next.now * 1000 - Date.now();
    if (state && next.last < state.last) return;
    const before = state;
    state = next;
    if (!before || before.html !== next.html) replace(next.html);
    if (!before || before.chart !== next.chart) draw();
    link(next.trouble || "connected", Boolean(next.trouble));
    mark();
    tick();
  }

  function replace(html) {
    const held = glance.contains(document.activeElement) ? document.activeElement : null;
    const card = held && held.closest(".card");
    const number = card && all(".card", glance).filter((other) => other.dataset.label === card.dataset.label).indexOf(card);
    glance.innerHTML = html;
    if (!held) return;
    const again = card && all(".card", glance).filter((other) => other.dataset.label === card.dataset.label)[number];
    mark();
    const buttons = again ? all("button", again).filter((button) => getComputedStyle(button).visibility === "visible") : [];
    const undo = all("[data-kind=undo]", glance).find((button) => !button.hidden && button.dataset.of === held.dataset.of);
    (undo || buttons.find((button) => button.dataset.kind === held.dataset.kind) || buttons[0] || glance).focus();
  }

  function mark() {
    const taps = waiting();
    for (const card of all(".card")) {
      const label = card.dataset.label;
      if (card === panel && state) card.dataset.now = state.standings[label] || "";
      const own = taps.filter((made) => made.of === label && made.kind !== "undo");
      const turned = own.filter((made) => made.kind !== "+5").pop();
      card.dataset.standing = turned ? { started: "running", finished: "done" }[turned.kind] : card.dataset.now;
      const note = one(".queued", card);
      note.hidden = !own.length;
      note.textContent = own.map((made) => `${words(made)} ${clock(made.at)}`).join(", ") + ": to be sent";
    }
    for (const button of all("[data-kind=undo]")) {
      button.hidden = taps.some((made) => made.kind === "undo" && made.of === button.dataset.of);
    }
    const queue = one("#queue");
    queue.hidden = !taps.length;
    one("ul", queue).replaceChildren(...taps.map((made) => {
      return line("li", `${clock(made.at)} ${words(made)}, ${made.who}`, "take back", () => {
        names().filter((name) => name.endsWith(made.key)).forEach((name) => localStorage.removeItem(name));
        mark();
      });
    }));
    for (const batch of all("#chart .batch")) {
      const standing = state ? state.standings[batch.dataset.label] : "";
      batch.classList.toggle("done", standing === "done" || standing === "lost");
      batch.classList.toggle("running", standing === "running");
    }
  }

  function tell(sentence) {
    const told = line("p", sentence, "seen", () => told.remove());
    one("#told").append(told);
  }

  function line(tag, text, word, act) {
    const made = document.createElement(tag);
    const said = document.createElement("span");
    const button = document.createElement("button");
    said.textContent = text;
    button.type = "button";
    button.textContent = word;
    button.addEventListener("click", act);
    made.append(said, button);
    return made;
  }

  // The chart.
{% include "page/place.js" %}

  async function draw() {
    const wanted = state.chart;
    try {
      const answer = await fetch("/chart");
      if (!answer.ok) return;
      const drawn = await answer.text();
      if (state.chart !== wanted) return;  // it has changed again: the next drawing is on its way
      // Only now: while the drawing was on its way, somebody may have scrolled, or moved by keys.
      const before = one("#chart .scroller");
      const [left, top] = before ? [before.scrollLeft, before.scrollTop] : [0, 0];
      const held = document.activeElement.closest("#chart a.bar");
      one("#chart").innerHTML = drawn;
      one("#chart .scroller").scrollTo(left, top);
      if (held) focusBar(held.getAttribute("href"));
      mark();
      tick(!before);
    } catch {
      // The next word from the board draws it.
      if (state.chart === wanted) state = { ...state, chart: "" };
    }
  }

  function focusBar(href) {
    const bar = all("#chart a.bar").find((other) => other.getAttribute("href") === href);
    if (bar) bar.focus({ preventScroll: true });
  }

  function tick(scroll) {
    const now = minute();
    if (state) one("#clock").textContent = clock(now);
    const view = one("#chart .view");
    if (!view) return;
    const x = place(JSON.parse(view.dataset.axis), now);
    let line = one(".now", view);
    if (x === null) return line && line.remove();
    if (!line) {
      line = document.createElement("div");
      line.className = "now";
      one(".bars-strip", view).append(line);
    }
    line.style.left = `${x}px`;
    if (!scroll) return;
    const scroller = one(".scroller", view);
    scroller.scrollLeft = x - (scroller.clientWidth - one(".names-strip", view).clientWidth) / 3;
  }

  function open(bar) {
    chosen = bar.getAttribute("href");
    panel.dataset.label = chosen.slice("#batch-".length);
    one("#panel-text").textContent = one("title", bar).textContent;
    panel.hidden = false;
    mark();
    const button = all("button", panel).find((other) => other.dataset.kind && getComputedStyle(other).visibility === "visible");
    (button || one("#close")).focus();
  }

  function close() {
    if (panel.hidden) return;
    panel.hidden = true;
    focusBar(chosen);
  }

  // The line to the board.
  const ANEW = "This tablet is not let in: open the address that the board has printed. Taps are kept here and sent then";

  function link(text, bad) {
    // The same words once more would be read out once more.
    if (one("#link").textContent !== text) one("#link").textContent = text;
    one("#link").classList.toggle("lost", bad);
  }

  function lost() {
    if (!one("#link").classList.contains("lost")) {
      link(`no connection since ${state ? clock(minute()) : "the start"}: what is shown is from then; taps are kept here and sent later`, true);
    }
  }

  function connect() {
    if (source) source.close();
    heard = Date.now();
    source = new EventSource("/events");
    source.addEventListener("state", (event) => {
      heard = Date.now();
      show(JSON.parse(event.data));
      send();
    });
    source.addEventListener("clock", (event) => {
      heard = Date.now();
      ahead = Number(event.data) * 1000 - Date.now();
      tick();
    });
    source.addEventListener("error", async () => {
      lost();
      try {
        if ((await fetch("/board.css", { method: "HEAD" })).status === 403) link(ANEW, true);
      } catch {
        // Nobody is there: the line says so already.
      }
    });
  }

  document.addEventListener("click", (event) => {
    const bar = event.target.closest("#chart a.bar");
    const button = event.target.closest("button[data-kind]");
    if (bar) {
      event.preventDefault();
      open(bar);
    } else if (button) {
      tap(button.dataset.kind, button.dataset.of || button.closest(".card").dataset.label);
    }
  });
  document.addEventListener("keydown", (event) => { if (event.key === "Escape") close(); });
  one("#close").addEventListener("click", close);
  addEventListener("online", connect);
  addEventListener("storage", mark);
  setInterval(() => {
    if (source.readyState === EventSource.CLOSED || Date.now() - heard > SILENCE) {
      lost();
      connect();
    }
    if (names().length) send();
  }, RETRY);
  setInterval(tick, 1000);

  const who = one("#who");
  const remembered = localStorage.getItem("who");
  if ([...who.options].some((option) => option.value === remembered)) who.value = remembered;
  who.addEventListener("change", () => {
    try {
      localStorage.setItem("who", who.value);
    } catch {
      // It is then asked for again after a reload.
    }
  });
  mark();
  connect();
})();
