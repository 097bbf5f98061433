// The officer writes a longer time into the equipment while it is served: what a walk's page says then, on a phone and on a
// desktop, until the change is taken back. The argument after the usual ones is the folder of the documents.
import * as w from "./browser.mjs";
import { readFileSync, writeFileSync } from "node:fs";
const { assert } = w;

const file = `${process.argv[5]}/equipment.yaml`;
const equipment = readFileSync(file, "utf8");
const later = equipment.replace("after: 45 s", "after: 90 s");

/** Loads the page again until it says something. */
const until = async (page, path, words) => {
  for (let tries = 0; tries < 200; tries++) {
    await page.goto(`${w.base}${path}`);
    if (words.test(await page.locator("main").innerText())) return;
    await new Promise((done) => setTimeout(done, 100));
  }
  assert.fail(`${path} never says ${words}`);
};

for (const [screen, colours] of [[w.PHONE, "light"], [w.DESKTOP, "dark"]]) {
  const look = (page, name) => w.look(page, `unproved-${name}-${screen.width}`);
  const page = await w.device(screen, colours);
  await w.signIn(page);
  const walk = await w.begin(page, "strainer-clean");
  while ((await w.asked(page)) !== "done") await w.answer(page, await w.asked(page));
  assert.notEqual(later, equipment);
  writeFileSync(file, later);
  await until(page, `/walks/${walk}`, /Not proved any more/);
  // Without scrolling: that nothing is begun any more, and where work is stopped.
  const seen = (one) => one.evaluate((one) => one.getBoundingClientRect().bottom <= innerHeight);
  assert.ok(await seen(page.getByText("Begin nothing further.")));
  assert.ok(await seen(page.getByRole("link", { name: "Stop work" })));
  await look(page, "under-way");
  await w.after(page, () => page.locator(".under-way button").first().click());
  assert.equal(await page.locator(".under-way, .now form").count(), 0);
  await look(page, "shut");
  await page.goto(`${w.base}/walks/${walk}/stop`);
  await look(page, "stop");
  await until(page, "/begin/strainer-clean", /Not proved under what is written now/);
  await look(page, "begin");
  await until(page, "/", /it cannot be begun/);
  await look(page, "home");
  writeFileSync(file, equipment);
  await until(page, `/walks/${walk}`, /Go on with this walk/);
  await look(page, "proved-again");
}
await w.browser.close();
