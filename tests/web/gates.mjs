// One procedure on one screen, through every gate to its end, with everything that comes between: two devices at once, a
// server that is killed in the middle of an answer, a failed reading, a reload during a wait, a second person; or until it
// is stopped, and left. Arguments after the usual ones are the procedure, the screen and which of the two.
import * as w from "./browser.mjs";
import { readFileSync } from "node:fs";
import { createInterface } from "node:readline";
const { assert } = w;

const [procedure, screen, way] = process.argv.slice(5);
const [here, there, colours] = screen === "phone" ? [w.PHONE, w.DESKTOP, "light"] : [w.DESKTOP, w.PHONE, "dark"];

// What differs: where work is stopped, which gates stand beside the way that is walked, and who else takes part.
const ON = {
  "wand-reassembly": {
    serial: "OSK-0131", failed: "7 ohm", passed: "1 ohm", second: "otherwise", stop: /Pull the trigger|Hold the trigger/,
    beside: ["inspect-new", "match-gasket"], ending: /^The walk is completed with deviation$/,
    record: [/reading 1 is 7 ohm, outside/, /reading 2 is 1 ohm, within/, /Gwen Adeyi/],
  },
  "battery-replacement": {
    serial: "OSK-0117", failed: "24.1 V", passed: "25.8 V", second: "signs", stop: /Unscrew the bolt of the black lead/,
    beside: ["decay-low"], ending: /^The walk is completed$/,
    record: [/reading 1 is 24.1 V, outside/, /reading 2 is 25.8 V, within/, /verified by Anneke Voss, second-person/],
  },
}[procedure];

// The test that started this freezes, kills and starts the server when it is asked to.
const lines = createInterface({ input: process.stdin })[Symbol.asyncIterator]();
const ask = async (what) => {
  console.log(what);
  assert.equal((await lines.next()).value, "done", what);
};

const records = async (page, id) => (await page.request.get(`${w.base}/records/${id}/export.json`)).json();
const said = async (page, id) => (await records(page, id)).filter((record) => record.event !== "wait-started");
const done = (page) => w.now(page).getByRole("button", { name: "Done" });

/** Both press at once: one is first, the other is told so. */
const race = async (one, two, id) => {
  await two.goto(`${w.base}/walks/${id}`);
  const before = (await said(one, id)).length;
  await Promise.all([one, two].map((page) => w.after(page, () => done(page).click())));
  const told = [await w.told(one), await w.told(two)];
  assert.equal(told.filter((text) => /somebody answered first/.test(text)).length, 1, `${told}`);
  assert.equal((await said(one, id)).length, before + 1, "one of the two answers is on record");
  await one.goto(`${w.base}/walks/${id}`);
};

/**
 * The answer has left the device and no reply has come when the server is killed: with the answer taken and its reply lost,
 * or with the answer not yet read. The device keeps it and sends it again once the server is there. Taken, it is on
 * record once; not taken, the device is told so, for the walk is interrupted by then.
 */
const kill = async (page, id, taken) => {
  const before = await said(page, id);
  if (taken) {
    const lose = async (route) => {
      await route.fetch({ maxRedirects: 0 });
      await ask("kill");
      await route.abort("connectionreset");
    };
    await page.route(`**/walks/${id}`, lose, { times: 1 });
    await done(page).click();
  } else {
    await ask("freeze");
    const sent = page.waitForRequest((request) => request.method() === "POST");
    await done(page).click();
    await sent;
    await page.waitForTimeout(200);
    await ask("kill");
  }
  await page.getByText("kept on this device").waitFor();
  await w.look(page, `${procedure}-killed-${taken}-${screen}`);
  await ask("start");
  await page.waitForURL(/\/sign-in/, { timeout: 30_000 });
  await page.getByLabel("Name").fill("Tomas Reeve");
  await page.getByLabel("PIN").fill(w.PINS["Tomas Reeve"]);
  await page.getByRole("button", { name: "Sign in" }).click();
  await page.waitForURL(new RegExp(`/walks/${id}`));
  await page.waitForFunction(() => (localStorage.getItem("gatewright-kept") ?? "[]") === "[]");
  // The page of the reply, or the walk's, comes a moment after the answer is let go.
  await page.waitForTimeout(500);
  await page.locator(".now").waitFor();
  assert.match(await w.told(page), taken ? /^$/ : /You are not at this walk/);
  const after = await said(page, id);
  assert.deepEqual(after.slice(0, before.length), before);
  assert.deepEqual(after.slice(before.length).map((record) => record.event), taken ? ["done"] : []);
  await page.goto(`${w.base}/walks/${id}`);
  await w.after(page, () => page.getByRole("button", { name: "Go on" }).click());
};

const failThenPass = async (page) => {
  await w.reading(page, ON.failed);
  assert.match(await page.locator("#reading-help").innerText(), /Attempt 2 of 2: the one before was not accepted/);
  await page.locator("#reading").fill("lots");
  await w.after(page, () => page.getByRole("button", { name: "Record the reading" }).click());
  assert.match(await w.told(page), /Not taken/);
  await w.look(page, `${procedure}-refused-${screen}`);
  await w.reading(page, ON.passed);
};

const reload = async (page) => {
  const left = async () => Number(await page.locator(".timer").getAttribute("data-left"));
  const before = await left();
  await page.waitForTimeout(1500);
  await page.reload();
  assert.ok((await left()) < before - 1000, "a reload did not start the wait again");
  const at = await w.position(page);
  await w.after(page, () => page.getByRole("button", { name: "The time is over" }).click());
  assert.match(await w.told(page), /The wait is not over/);
  assert.equal(await w.position(page), at);
};

const signs = async (page) => {
  const at = await w.position(page);
  const wrong = [
    ["Tomas Reeve", undefined, /has not the role second person|must be somebody else/],
    ["Nobody Known", "518263", /Nobody here is named/],
    ["Gwen Adeyi", undefined, /has not the role second person/],
    ["Ilse Marrow", undefined, /ended on 2025-01-01/],
    ["Anneke Voss", "518264", /not the PIN/],
  ];
  for (const [name, pin, why] of wrong) {
    await w.sign(page, name, pin ?? w.PINS[name]);
    assert.match(await w.told(page), why);
    assert.equal(await w.position(page), at);
  }
  await w.look(page, `${procedure}-sign-refused-${screen}`);
  await w.sign(page, "Anneke Voss");
  assert.equal(await w.told(page), "");
};

/** Where no step takes a second person, somebody allows that one is done otherwise. */
const otherwise = async (page, id) => {
  const before = await w.position(page);
  await page.getByText("Do it otherwise than written").click();
  await page.getByRole("heading", { name: "Do it otherwise" }).waitFor();
  await w.look(page, `deviate-${screen}`);
  const allow = async (name) => {
    await page.getByLabel(/Why, and what/).fill("The ring is stiff: turned back with the strap spanner.");
    await page.getByLabel(/Name of the/).fill(name);
    await page.getByLabel("Their own PIN").fill(w.PINS[name]);
    await w.after(page, () => page.getByRole("button", { name: "Allow and record" }).click());
  };
  await allow("Anneke Voss");
  assert.match(await w.told(page), /has not the role safety officer/);
  assert.equal(await w.position(page), before);
  await page.goto(`${w.base}/walks/${id}/deviate`);
  await allow("Gwen Adeyi");
  assert.match(await w.now(page).innerText(), /To be confirmed again[\s\S]*disconnected|wand/i);
  await w.look(page, `deviated-${screen}`);
};

/** The steps of the procedure that hold a gate, as its text has them. */
const gates = () => {
  const text = readFileSync(new URL(`../../procedures/oskerry-22/${procedure}.yaml`, import.meta.url), "utf8");
  const steps = text.split(/^ +- id: /m).slice(1);
  const holds = (step) => /^ +(confirm|measure|verified_by|hold|fasten|wait|ask):/m.test(step);
  return steps.filter(holds).map((step) => step.split("\n")[0]).filter((id) => !ON.beside.includes(id));
};

const whole = async () => {
  const [page, other] = [await w.device(here, colours), await w.device(there)];
  await w.signIn(page);
  const id = await w.begin(page, procedure, true, ON.serial);
  const [seen, met] = [new Set(), new Set()];
  const once = (what) => !met.has(what) && met.add(what);
  await w.walk(page, async (kind, count) => {
    const label = (await page.locator(".now .diagram").count()) > 0 ? "fasten" : kind;
    if (!seen.has(label)) {
      seen.add(label);
      await w.look(page, `${procedure}-${label}-${screen}`);
    }
    if (kind === "done" && count === 1) return once("lost"), await kill(page, id, true), true;
    if (kind === "done" && count === 3) return once("frozen"), await kill(page, id, false), true;
    if (kind === "done" && count >= 5 && once("race")) return await w.signIn(other), await race(page, other, id), true;
    if (kind === "reading" && /Attempt 1 of 2/.test(await page.locator("#reading-help").innerText()) && once("reading")) {
      return await failThenPass(page), true;
    }
    if (kind === "timer" && once("reload")) return await reload(page), false;
    if (kind === "sign" && once("signs")) return await signs(page), true;
    if (kind === "done" && ON.second === "otherwise" && /Pull the wand coupling/.test(await w.now(page).innerText()) && once("otherwise")) {
      return await otherwise(page, id), true;
    }
    return false;
  });
  assert.deepEqual([...met].sort(), ["frozen", "lost", "race", "reading", "reload", ON.second].sort());
  assert.match(await w.ending(page), ON.ending);
  await w.look(page, `${procedure}-completed-${screen}`);
  const passed = new Set((await records(page, id)).filter((record) => record.event !== "done").map((record) => record.step));
  assert.deepEqual(gates().filter((gate) => !passed.has(gate)), [], "every gate was passed");
  await page.goto(`${w.base}/records/${id}`);
  const record = await page.locator("main").innerText();
  for (const wanted of [/TRAINING ONLY/, /intact/, ...ON.record]) assert.match(record, wanted);
  await w.look(page, `${procedure}-record-${screen}`);
  await page.goto(`${w.base}/records?serial=${ON.serial}&revision=1`);
  assert.match(await page.locator("main").innerText(), /1 found/);
};

const stopped = async () => {
  const page = await w.device(here, colours);
  await w.signIn(page);
  const id = await w.begin(page, procedure, true, ON.serial);
  while (!ON.stop.test(await w.now(page).innerText())) await w.answer(page, await w.asked(page));
  await page.getByRole("link", { name: "Stop work" }).click();
  await page.getByRole("heading", { name: "Stop work" }).waitFor();
  await w.look(page, `${procedure}-stop-${screen}`);
  await page.getByLabel("Why").fill("Something leaks at the joint.");
  await page.getByRole("button", { name: "Stop work now" }).click();
  await page.getByRole("heading", { name: "Before you leave the machine" }).waitFor();
  assert.match(await w.ending(page), /The walk is stopped: Something leaks/);
  await w.look(page, `${procedure}-stopped-${screen}`);
  for (let acts = 0; acts < 20; acts++) {
    const form = page.locator(".panel-box form").first();
    if ((await form.locator("[value=left], [value=leave-look]").count()) === 0) break;
    const jump = form.getByRole("button", { name: /jump/ });
    await w.after(page, async () => ((await jump.count()) > 0 ? jump : form.locator("button").first()).click());
    assert.equal(await w.told(page), "");
  }
  assert.match(await page.locator("main").innerText(), /may be left as it is/);
  const release = async (name) => {
    await page.getByLabel("What was found and put right").fill("The gasket was pinched; a new one is in.");
    await page.getByLabel(/Name of the/).fill(name);
    await page.getByLabel("Their own PIN").fill(w.PINS[name]);
    await w.after(page, () => page.getByRole("button", { name: "Release for use again" }).click());
  };
  await release("Anneke Voss");
  assert.match(await w.told(page), /has not the role safety officer/);
  await release("Gwen Adeyi");
  assert.match(await page.locator("main").innerText(), /was released for use again/);
  const events = (await records(page, id)).map((record) => record.event);
  // The way out looks at every part of the state in which the machine may be left; where all is so, there is nothing to do.
  assert.ok(events.includes("leaving-looked") && events.at(-1) === "returned", `${events}`);
};

await { whole, stopped }[way]();
await w.browser.close();
console.log("finished");
process.exit(0);
