  // Fingers. What comes from elsewhere must not put another batch under one that is on its way down: nothing moves
  // while one is down, and one that comes down just after a change means what it was aimed at before.
  const REACTION = 350;  // milliseconds within which nobody can have seen a change and acted upon it
  const LONGEST = 8000;  // after which a finger that was never lifted holds nothing up any more
  const NEAR = 24;       // pixels that a finger may slide
  const fingers = new Map();
  let layouts = [];      // where there was what to tap, before each of the last changes
  let aim = null;        // what the last finger came down for, and where
  let late = false;      // whether changes wait for a finger to be lifted

  const meaning = (element) => {
    const button = element.closest("button[data-kind]");
    return button && { button, kind: button.dataset.kind, of: button.dataset.of };
  };
  const same = (one, other) => one === other || (one && other && one.kind === other.kind && one.of === other.of);

  // The last one is on top.
  function layout() {
    const found = [];
    for (const element of all("button[data-kind], #panel, dialog[open]")) {
      const box = element.getBoundingClientRect();
      if (box.width) found.push({ box, meant: element.matches("button") ? meaning(element) : null });
    }
    return found;
  }

  function hit(places, x, y) {
    const inside = ({ box }) => x >= box.left && x < box.right && y >= box.top && y < box.bottom;
    const found = places.filter(inside).pop();
    return found ? found.meant : null;
  }

  // Where things are before a change. Who has moved the page since the one before has looked anew.
  function remember() {
    const at = performance.now();
    layouts = [...layouts.filter((other) => still() && at - other.at < LONGEST), { at, places: layout() }];
  }

  // After the change, which may have moved the page itself.
  const settled = () => { if (layouts.length) layouts.at(-1).top = scrollY; };
  const still = () => layouts.length > 0 && layouts.at(-1).top === scrollY;

  // Of several pointers that were never lifted, none can hold the page up for ever.
  const down = () => [...fingers.values()].some((since) => performance.now() - since < LONGEST);

  function lifted(event) {
    fingers.delete(event.pointerId);
    // The click comes after this.
    setTimeout(() => { if (late && !down()) paint(); }, 80);
  }

  addEventListener("pointerdown", (event) => {
    fingers.set(event.pointerId, performance.now());
    setTimeout(() => { if (late && !down()) paint(); }, LONGEST);
    const before = still() && layouts.find(({ at }) => event.timeStamp - at < REACTION);
    const { clientX: x, clientY: y } = event;
    aim = { x, y, meant: before ? hit(before.places, x, y) : meaning(event.target) };
  }, true);
  addEventListener("pointerup", lifted, true);
  addEventListener("pointercancel", (event) => {
    aim = null;
    lifted(event);
  }, true);

  // What a click is meant for; null when it is not clear, or for something that was done by the same finger just before.
  function meant(event) {
    const here = meaning(event.target);
    const { x, y, meant: aimed } = aim || {};
    const pointed = event.detail && aim && Math.hypot(event.clientX - x, event.clientY - y) <= NEAR;
    aim = null;
    if (!pointed || same(here, aimed)) return here;
    return same(aimed, done) ? null : aimed;
  }
