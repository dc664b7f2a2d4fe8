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
  let painted = "";      // what is shown of what the board last said
  let drawn = null;      // a drawing of the chart that is to be put in place
  let line = { text: "connecting", bad: false };  // what is to be said of the line to the board
  let done = null;       // what was tapped last
  const untold = [];     // sentences that are to be shown

  // The time: that of the board, so that a tablet whose clock is wrong records the right one.
  const minute = () => Math.floor((Date.now() + ahead) / 60000);
  const two = (number) => String(number).padStart(2, "0");

  function clock(minutes) {
    const day = Math.floor(minutes / 1440), rest = minutes - day * 1440;
    return `${day ? `day ${day + 1} ` : ""}${two(Math.floor(rest / 60))}:${two(rest % 60)}`;
  }

{% include "board/outbox.js" %}

  // What is shown.
  function show(next) {
    if (next.shift !== shift) return location.reload();
    ahead = next.now * 1000 - Date.now();
    if (state && next.last < state.last) return;
    const before = state;
    state = next;
    document.body.dataset.last = next.last;
    paint();
    if (!before || before.chart !== next.chart) draw();
    link(next.trouble || "connected", Boolean(next.trouble));
    if (one("#news").textContent !== next.news) one("#news").textContent = next.news;
    tick();
    if (!before) layouts = [];  // nobody has aimed at anything yet
  }

  // Shows everything as it is known now; while a finger is down, once it is lifted.
  function paint() {
    late = down();
    if (late) return;
    if (painted) remember();
    if (state && painted !== state.html) {
      painted = state.html;
      replace(painted);
    }
    if (drawn !== null) putChart();
    mark();
    // The same words once more would be read out once more.
    if (one("#link").textContent !== line.text) one("#link").textContent = line.text;
    one("#link").classList.toggle("lost", line.bad);
    one("#told").append(...untold.splice(0));
    settled();
  }

  // What somebody reads stays where it is in the window, and the keys stay where they are.
  function replace(html) {
    const held = glance.contains(document.activeElement) ? document.activeElement : null;
    const seen = scrollY > 0 && all(".card", glance).find((card) => card.getBoundingClientRect().top >= 0);
    const back = held && finder(held), stay = seen && finder(seen), top = seen && seen.getBoundingClientRect().top;
    glance.innerHTML = html;
    const again = stay && stay();
    if (again) scrollBy(0, again.getBoundingClientRect().top - top);
    mark();
    if (held) (back() || glance).focus({ preventScroll: true });
  }

  // Finds a button or a card again: the same one or, where a button is gone, the first that its card has now.
  function finder(element) {
    const { kind, of, label } = element.dataset;
    const alike = () => all(kind ? "button[data-kind]" : ".card", glance)
      .filter((other) => other.dataset.kind === kind && other.dataset.of === of && other.dataset.label === label);
    const number = alike().indexOf(element);
    const around = kind && element.closest(".card"), card = around ? finder(around) : () => null;
    const usable = (button) => button && !button.hidden && getComputedStyle(button).visibility === "visible";
    return () => {
      const found = alike()[number];
      if (!kind || usable(found)) return found;
      const inside = card();
      return inside && all("button", inside).find(usable);
    };
  }

  function mark() {
    const taps = waiting();
    for (const card of all(".card")) {
      const label = card.dataset.label;
      if (card === panel && state) card.dataset.now = state.standings[label] || "";
      const own = taps.filter((made) => made.of === label);
      const turned = own.filter((made) => made.kind in TURNS).pop();
      card.dataset.standing = turned ? TURNS[turned.kind] : card.dataset.now;
      const note = one(".queued", card);
      note.hidden = !own.length || !stuck();
      note.textContent = own.map((made) => `${words(made)} ${clock(made.at)}`).join(", ") + ": to be sent";
    }
    for (const button of all("[data-kind=undo], [data-kind=accept], [data-kind=leave]")) {
      button.hidden = taps.some((made) => made.kind === button.dataset.kind && made.of === button.dataset.of);
    }
    const queue = one("#queue");
    queue.hidden = !taps.length || !stuck();
    one("ul", queue).replaceChildren(...taps.map((made) => {
      const item = told("li", `${clock(made.at)} ${words(made)}, ${made.who}`, "take back");
      Object.assign(one("button", item).dataset, { kind: "take back", of: made.key });
      return item;
    }));
    for (const batch of all("#chart .batch")) {
      const standing = state ? state.standings[batch.dataset.label] : "";
      batch.classList.toggle("done", standing === "done" || standing === "lost");
      batch.classList.toggle("running", standing === "running");
    }
  }

  // Taps that are on their way for a moment are not told of: the page would jump at each.
  const TURNS = { started: "running", finished: "done", failed: "lost" };
  const stuck = () => line.bad;

  function tell(sentence) {
    const made = told("p", sentence, "seen");
    one("button", made).addEventListener("click", () => made.remove());
    untold.push(made);
    paint();
  }

  function told(tag, text, word) {
    const made = document.createElement(tag);
    const said = document.createElement("span");
    const button = document.createElement("button");
    said.textContent = text;
    button.type = "button";
    button.textContent = word;
    made.append(said, button);
    return made;
  }

{% include "board/finger.js" %}

  // The chart.
{% include "page/place.js" %}

  async function draw() {
    const wanted = state.chart;
    try {
      const answer = await fetch("/chart");
      if (!answer.ok) return;
      const text = await answer.text();
      if (state.chart !== wanted) return;  // it has changed again: the next drawing is on its way
      drawn = text;
      paint();
    } catch {
      // The next word from the board draws it.
      if (state.chart === wanted) state = { ...state, chart: "" };
    }
  }

  function putChart() {
    // Only now: while the drawing was on its way, somebody may have scrolled, or moved by keys.
    const before = one("#chart .scroller");
    const [left, top] = before ? [before.scrollLeft, before.scrollTop] : [0, 0];
    const held = document.activeElement.closest("#chart a.bar");
    one("#chart").innerHTML = drawn;
    drawn = null;
    one("#chart .scroller").scrollTo(left, top);
    if (held) focusBar(held.getAttribute("href"));
    tick(!before);
  }

  function focusBar(href) {
    const bar = all("#chart a.bar").find((other) => other.getAttribute("href") === href);
    if (bar) bar.focus({ preventScroll: true });
  }

  function tick(scroll) {
    if (state) one("#clock").textContent = clock(minute());
    const view = one("#chart .view");
    if (!view) return;
    const x = place(JSON.parse(view.dataset.axis), minute());
    let now = one(".now", view);
    if (x === null) return now && now.remove();
    if (!now) {
      now = document.createElement("div");
      now.className = "now";
      one(".bars-strip", view).append(now);
    }
    now.style.left = `${x}px`;
    if (!scroll) return;
    const scroller = one(".scroller", view);
    scroller.scrollLeft = x - (scroller.clientWidth - one(".names-strip", view).clientWidth) / 3;
  }

  function open(bar) {
    chosen = bar.getAttribute("href");
    panel.dataset.label = chosen.slice("#batch-".length);
    for (const button of all("[data-kind]", panel)) button.dataset.of = panel.dataset.label;
    one("#panel-text").textContent = one("title", bar).textContent;
    panel.hidden = false;
    layouts = [];
    mark();
    const button = all("button", panel).find((other) => other.dataset.kind && getComputedStyle(other).visibility === "visible");
    (button || one("#close")).focus();
  }

  function close() {
    if (panel.hidden) return;
    panel.hidden = true;
    layouts = [];
    focusBar(chosen);
  }

  function act(what) {
    done = what;
    if (what.kind === "take back") takeBack(what.of);
    else if (what.kind === "plan") planAnew();
    else if (what.button.dataset.from) choose(what.button);
    else tap(what.kind, what.of);
  }

{% include "board/wrong.js" %}

  // The line to the board.
  const ANEW = "This tablet is not let in: open the address that the board has printed. Taps are kept here and sent then";

  function link(text, bad) {
    line = { text, bad };
    paint();
  }

  function lost() {
    if (!line.bad) {
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
    if (bar) event.preventDefault();
    const what = meant(event);
    if (what) act(what);
    else if (bar) open(bar);
  });
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape") close();
    // A key that is held down is one tap.
    if (event.repeat && event.target.closest("button")) event.preventDefault();
  });
  one("#close").addEventListener("click", close);
  addEventListener("online", connect);
  addEventListener("storage", paint);
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
  paint();
  connect();
})();
