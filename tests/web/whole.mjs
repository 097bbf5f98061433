// Whole walks in a browser, on a phone and on a desktop, light and dark; every kind of page is looked at.
import * as w from "./browser.mjs";
const { assert } = w;

const wand = async () => {
  const page = await w.device(w.PHONE);
  await page.goto(`${w.base}/sign-in`);
  await w.look(page, "sign-in-phone");
  await w.signIn(page);
  await w.look(page, "home-phone");
  await page.goto(`${w.base}/begin/wand-reassembly`);
  await w.look(page, "begin-phone");
  const id = await w.begin(page, "wand-reassembly");
  let failed = false;
  const seen = new Set();
  await w.walk(page, async (kind, count) => {
    const label = (await page.locator(".now .diagram").count()) > 0 ? "fasten" : kind;
    if (!seen.has(label)) {
      seen.add(label);
      await w.look(page, `wand-${label}-phone`);
    }
    if (kind === "reading" && !failed) {
      failed = true;
      await w.reading(page, "7 ohm");
      assert.match(await page.locator("#reading-help").innerText(), /Attempt 2 of 2/);
      await page.locator("#reading").fill("lots");
      await w.after(page, () => page.getByRole("button", { name: "Record the reading" }).click());
      assert.match(await w.told(page), /Not taken/);
      await w.look(page, "wand-refused-phone");
      await w.reading(page, "1 ohm");
      return true;
    }
    if (kind === "timer" && count === 1) {
      const left = async () => Number(await page.locator(".timer").getAttribute("data-left"));
      const before = await left();
      await page.waitForTimeout(1500);
      await page.reload();
      assert.ok((await left()) < before - 1000, "a reload did not start the wait again");
      const at = await w.position(page);
      await w.after(page, () => page.getByRole("button", { name: "The time is over" }).click());
      assert.match(await w.told(page), /The wait is not over/);
      assert.equal(await w.position(page), at);
    }
    return false;
  });
  assert.match(await w.ending(page), /^The walk is completed$/);
  await w.look(page, "wand-completed-phone");
  await page.goto(`${w.base}/records/${id}`);
  const record = await page.locator("main").innerText();
  for (const wanted of [/TRAINING ONLY/, /reading 1 is 7 ohm, outside/, /reading 2 is 1 ohm, within/, /intact/]) {
    assert.match(record, wanted);
  }
  await w.look(page, "record-phone");
};

const battery = async () => {
  const page = await w.device(w.DESKTOP, "dark");
  await w.signIn(page);
  await w.look(page, "home-desktop-dark");
  const id = await w.begin(page, "battery-replacement", true, "OSK-0131");
  let refused = false;
  const seen = new Set();
  await w.walk(page, async (kind) => {
    if (!seen.has(kind)) {
      seen.add(kind);
      await w.look(page, `battery-${kind}-desktop-dark`);
    }
    if (kind !== "sign" || refused) return false;
    refused = true;
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
    await w.look(page, "battery-sign-refused-desktop-dark");
    return false;
  });
  assert.match(await w.ending(page), /^The walk is completed$/);
  await page.goto(`${w.base}/records/${id}`);
  assert.match(await page.locator("main").innerText(), /verified by Anneke Voss, second-person/);
  await w.look(page, "record-desktop-dark");
  await page.goto(`${w.base}/records?serial=OSK-0131,OSK-0118&revision=1`);
  assert.match(await page.locator("main").innerText(), /1 found/);
  await w.look(page, "records-desktop-dark");
  await page.goto(`${w.base}/verify`);
  assert.match(await page.locator("main").innerText(), /Intact/);
  await w.look(page, "verify-desktop-dark");
};

await wand();
await battery();
await w.browser.close();
