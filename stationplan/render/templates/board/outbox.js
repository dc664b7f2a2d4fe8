  // Taps wait in the browser's own store, each under a name of its own, until the board has recorded or refused them.
  const names = () => Object.keys(localStorage).filter((name) => name.startsWith(prefix)).sort();
  const waiting = () => names().map((name) => JSON.parse(localStorage.getItem(name))).filter(Boolean);

  function words(tap) {
    if (tap.kind === "typed") return tap.of;
    return tap.kind === "+5" ? `${tap.of} +5 min` : `${tap.kind} ${tap.of}`;
  }

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
    paint();
    send();
  }

  function takeBack(key) {
    names().filter((name) => name.endsWith(key)).forEach((name) => localStorage.removeItem(name));
    paint();
  }

  function post(path, data) {
    return fetch(path, {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify(data),
      signal: AbortSignal.timeout(PATIENCE),
    });
  }

  async function send() {
    if (sending) return;
    sending = true;
    try {
      for (let [name] = names(); name; [name] = names()) {
        const made = JSON.parse(localStorage.getItem(name));
        if (!made) continue;  // another tab has sent it
        const answer = await post("/taps", made);
        const refused = answer.status === 409 || answer.status === 422;
        if (!answer.ok && !refused) {
          link(answer.status === 403 ? ANEW : `${await answer.text()}. Taps are kept here and sent again`, true);
          break;
        }
        const said = await answer.json();
        localStorage.removeItem(name);
        if (refused) {
          tell(`${words(made)} at ${clock(made.at)} is not recorded: ${said.error}`);
          if (made.kind === "typed") one("#words").value ||= made.of;
        }
        if (said.state) show(said.state);
      }
    } catch {
      lost();
    } finally {
      sending = false;
      paint();
    }
  }

  // What was tapped before comes first: a plan is to reckon with it.
  async function planAnew() {
    await send();
    if (names().length) return tell("The rest cannot be planned anew while taps wait to be sent");
    try {
      const answer = await post("/plan", { shift });
      const said = answer.status === 202 || answer.status === 409 ? await answer.json() : { error: await answer.text() };
      if (said.error) tell(`Not planned anew: ${said.error}`);
      if (said.state) show(said.state);
    } catch {
      lost();
      tell("Not planned anew: there is no connection");
    }
  }
