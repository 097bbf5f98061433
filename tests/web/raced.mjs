// Two devices at one walk, a server that is killed in the middle of an answer, answers kept on a device over both.
import * as w from "./browser.mjs";
import { createInterface } from "node:readline";
const { assert } = w;

// The test that started this kills the server and starts it again when it is asked to.
const lines = createInterface({ input: process.stdin })[Symbol.asyncIterator]();
const ask = async (what) => {
  console.log(what);
  assert.equal((await lines.next()).value, "done", what);
};

const records = async (page, id) => (await (await page.request.get(`${w.base}/records/${id}/export.json`)).json());
const said = (all) => all.map((record) => record.event).filter((event) => event !== "wait-started");

const toAct = async (page) => {
  for (let answers = 0; answers < 100; answers++) {
    const kind = await w.asked(page);
    if (kind === "done") return;
    await w.answer(page, kind);
  }
  assert.fail("no act comes");
};

const raced = async (procedure, screens) => {
  const [one, two] = [await w.device(screens[0]), await w.device(screens[1], "dark")];
  await w.signIn(one);
  const id = await w.begin(one, procedure);
  await w.signIn(two);
  for (let round = 0; round < 4; round++) {
    await toAct(one);
    await two.goto(`${w.base}/walks/${id}`);
    const before = said(await records(one, id)).length;
    const press = (page) => w.after(page, () => w.now(page).getByRole("button", { name: "Done" }).click());
    await Promise.all([press(one), press(two)]);
    const told = [await w.told(one), await w.told(two)];
    assert.equal(told.filter((text) => /somebody answered first/.test(text)).length, 1, `${procedure}: ${told}`);
    assert.equal(said(await records(one, id)).length, before + 1, "one of the two answers is on record");
    await one.goto(`${w.base}/walks/${id}`);
  }
  const loser = two;
  await loser.goto(`${w.base}/walks/${id}`);
  await w.look(loser, `raced-${procedure}`);
};

// An answer is on its way when the server is killed: the device keeps it, and sends it once the server is there again.
const killed = async (procedure, screen) => {
  const page = await w.device(screen);
  await w.signIn(page);
  const id = await w.begin(page, procedure);
  await toAct(page);
  const before = said(await records(page, id));
  await ask("kill");
  await w.now(page).getByRole("button", { name: "Done" }).click();
  await page.getByText("kept on this device").waitFor();
  await w.look(page, `killed-${procedure}`);
  await ask("start");
  // Sign-ins are in memory: the device is asked to sign in, and what it kept is sent then. The walk was interrupted, so the
  // answer is refused, told so once, and not kept any longer.
  await page.waitForURL(/\/sign-in/, { timeout: 30_000 });
  await page.getByLabel("Name").fill("Tomas Reeve");
  await page.getByLabel("PIN").fill(w.PINS["Tomas Reeve"]);
  await page.getByRole("button", { name: "Sign in" }).click();
  await page.waitForURL(new RegExp(`/walks/${id}`));
  await page.waitForFunction(() => (localStorage.getItem("gatewright-kept") ?? "[]") === "[]");
  const after = said(await records(page, id));
  assert.deepEqual(after.slice(0, before.length), before);
  assert.ok(after.length <= before.length + 1, `${after}`);
  await page.goto(`${w.base}/walks/${id}`);
  await page.getByRole("button", { name: "Go on" }).click();
  await page.waitForFunction(() => document.querySelector(".now form [name=say]")?.value !== "resume");
  const kinds = await w.walk(page);
  assert.ok(Object.values(kinds).reduce((sum, count) => sum + count, 0) > 10);
  assert.match(await w.ending(page), /^The walk is completed$/);
};

await raced("wand-reassembly", [w.PHONE, w.DESKTOP]);
await raced("battery-replacement", [w.DESKTOP, w.PHONE]);
await killed("wand-reassembly", w.PHONE);
await killed("battery-replacement", w.DESKTOP);
await w.browser.close();
console.log("finished");
process.exit(0);
