// Counts down, keeps answers while there is no connection, and asks for the lock after a pause. Everything else works
// without this script.
"use strict";
(() => {
  const STORE = "gatewright-kept";
  const RETRY_MS = 4000;
  const STOP_MS = 4000;
  const meta = (name) => document.querySelector(`meta[name="${name}"]`)?.content ?? "";

  const kept = () => {
    try {
      return JSON.parse(localStorage.getItem(STORE) ?? "[]");
    } catch {
      return [];
    }
  };
  const keep = (answers) => localStorage.setItem(STORE, JSON.stringify(answers));

  const tell = (text) => {
    const box = document.getElementById("kept");
    if (!box) return;
    box.textContent = text;
    box.hidden = text === "";
  };

  // An answer page that is not a redirect says why the answer was not taken: it takes this page's place.
  const showPage = (text) => {
    const page = new DOMParser().parseFromString(text, "text/html");
    document.title = page.title;
    for (const name of ["csrf", "lock"]) {
      const fresh = page.querySelector(`meta[name="${name}"]`);
      const old = document.querySelector(`meta[name="${name}"]`);
      if (fresh && old) old.content = fresh.content;
    }
    document.body.replaceWith(document.adoptNode(page.body));
    document.getElementById("main")?.focus();
    window.scrollTo(0, 0);
    started();
  };

  let sending = false;
  let retry = 0;

  // Sends what is kept, oldest first. Each carries its key, so that the program takes it once however often it comes.
  const send = async () => {
    if (sending) return;
    sending = true;
    clearTimeout(retry);
    try {
      for (let answers = kept(); answers.length > 0; answers = kept()) {
        const [first, ...rest] = answers;
        const body = new URLSearchParams(first.fields);
        body.set("csrf", meta("csrf"));
        let response;
        try {
          response = await fetch(first.url, { method: "POST", body, headers: { "x-page": first.page } });
        } catch {
          tell(`No connection. Your ${answers.length === 1 ? "answer is" : `${answers.length} answers are`} kept on this device and sent when it is back.`);
          retry = setTimeout(send, RETRY_MS);
          return;
        }
        const path = new URL(response.url).pathname;
        if (path === "/sign-in" || path === "/unlock") {
          location.assign(response.url);
          return;
        }
        if (response.status >= 500 || response.status === 408 || response.status === 429) {
          tell("The program could not take the answer. It is kept on this device and sent again.");
          retry = setTimeout(send, RETRY_MS);
          return;
        }
        keep(rest);
        tell("");
        if (rest.length === 0) {
          if (response.redirected) location.assign(response.url);
          else showPage(await response.text());
        } else if (!response.ok) {
          tell("One of the kept answers was not taken: the walk was elsewhere by then.");
        }
      }
    } finally {
      sending = false;
    }
  };

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!(form instanceof HTMLFormElement) || !form.hasAttribute("data-answer")) return;
    event.preventDefault();
    const fields = [...new FormData(form, event.submitter)].filter(([name]) => name !== "csrf");
    const key = new Map(fields).get("key");
    const answers = kept();
    if (answers.some((answer) => new Map(answer.fields).get("key") === key)) return;
    const button = event.submitter;
    if (button) button.setAttribute("aria-disabled", "true");
    keep([...answers, { url: form.action, page: location.pathname, fields }]);
    send();
  });
  window.addEventListener("online", send);

  // The way to leave the machine is worked out by the program. Without a connection the walk's page stays, and says so.
  document.addEventListener("click", async (event) => {
    const link = event.target instanceof Element ? event.target.closest(".stop-bar a") : null;
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    try {
      await fetch(link.href, { method: "HEAD", signal: AbortSignal.timeout(STOP_MS) });
      location.assign(link.href);
    } catch {
      tell("No connection: the way to leave the machine cannot be shown. Stop work all the same, as the card says, and put it on record here when the connection is back.");
    }
  });

  // A wait: counted from when the page came, asked for again when the device wakes. The program alone decides when it is over.
  const countDown = () => {
    const timer = document.querySelector(".timer[data-left]");
    if (!timer) return;
    const form = timer.closest("form");
    const left = timer.querySelector(".left");
    const end = Date.now() + Number(timer.dataset.left);
    const tick = () => {
      if (!timer.isConnected) return;
      const seconds = Math.max(0, Math.ceil((end - Date.now()) / 1000));
      const minutes = Math.floor(seconds / 60);
      const hours = Math.floor(minutes / 60);
      const two = (number) => String(number).padStart(2, "0");
      left.textContent = hours > 0 ? `${hours}:${two(minutes % 60)}:${two(seconds % 60)}` : `${minutes}:${two(seconds % 60)}`;
      if (seconds === 0) {
        form.requestSubmit(form.querySelector('button[value="over"]'));
        return;
      }
      setTimeout(tick, 250);
    };
    tick();
  };
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible" && document.querySelector(".timer[data-left]") && kept().length === 0) {
      location.reload();
    }
  });

  // After a pause the page is hidden: the program has locked by then.
  let locks = 0;
  const lockLater = () => {
    clearTimeout(locks);
    const wait = Number(meta("lock"));
    if (wait > 0) locks = setTimeout(() => location.assign(`/unlock?next=${encodeURIComponent(location.pathname)}`), wait + 1000);
  };

  const started = () => {
    lockLater();
    countDown();
  };
  started();
  if (kept().length > 0 && meta("csrf")) send();
})();
